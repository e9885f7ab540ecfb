/** The store's shape by number: raised with each upgrade in `database.ts`. */
export const DATABASE_VERSION = 2;
