/** The wall clock as the files write it. @returns now, ISO 8601, UTC */
export const nowIso = (): string => new Date().toISOString();
