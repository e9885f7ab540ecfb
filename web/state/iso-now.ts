/** The time now as ISO 8601, UTC: to show, never to sort by. */
export const isoNow = (): string => new Date().toISOString();
