/** How far apart the points of a drawn curve lie, rpm: ranges of plots begin on a multiple of it. */
export const GRID_RPM = 25;
