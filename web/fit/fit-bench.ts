/** Readings in, their fit as plain data out, with the bands that a plot will ask for worked out ahead: that takes longer
 * than the fit. Knows no thread. */
import { type CurvePoint, fitData, type FitData, fitOf } from '../../core/fit';
import { GRID_RPM } from '../plot/grid';
import type { FitApi } from './fit-api';

/** How far a plot reaches past the readings, as a rule. What lies further is worked out when it is asked for. */
const BEYOND_RPM = 750;

export class FitBench implements FitApi {
  fit(points: readonly CurvePoint[]): FitData {
    const data = fitData(points);
    const { band, corners } = fitOf(data);
    const speeds = points.map(({ rpm }) => rpm);
    const from = Math.floor((Math.min(...speeds) - BEYOND_RPM) / GRID_RPM) * GRID_RPM;
    for (let rpm = Math.max(0, from); rpm <= Math.max(...speeds) + BEYOND_RPM; rpm += GRID_RPM) band(rpm);
    for (const { rpm } of corners) band(rpm);
    return data;
  }
}
