/** What every reader of a report must see beside its figures. */

export const REPORT_CAUTIONS = [
  'The maker’s data and the emissions label come first; laws on road vehicles differ by place. Defer to them and to a licensed mechanic.',
  'Knock breaks engines, sometimes unheard: start low, add little, stop at the first sign.',
  'Stop the engine before touching the distributor. Moving belts, fan and pulleys; the light makes them look still. Tens of kilovolts on the leads; hot parts; fuel; exhaust gas kills indoors. Chock the wheels, gearbox in neutral or park, brake on, a second person at the throttle.',
  'Readings off a light are good to about 1 degree; intervals are of 95 % and hold what the readings themselves show.',
] as const;
