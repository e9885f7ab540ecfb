/** The traits as the trade words them: what each is called and what its answers are. Words only. */
import type { EngineTraits } from '../../../core/engine';

export interface TraitWords<Name extends keyof EngineTraits = keyof EngineTraits> {
  readonly name: Name;
  readonly legend: string;
  readonly options: readonly { readonly value: NonNullable<EngineTraits[Name]>; readonly label: string }[];
}

const words = <Name extends keyof EngineTraits>(
  name: Name,
  legend: string,
  options: TraitWords<Name>['options'],
): TraitWords<Name> => ({ name, legend, options });

export const TRAITS = [
  words('compression', 'Compression', [
    { value: 'low', label: 'low' },
    { value: 'usual', label: 'usual' },
    { value: 'high', label: 'high' },
  ]),
  words('camDuration', 'Cam', [
    { value: 'short', label: 'short' },
    { value: 'usual', label: 'usual' },
    { value: 'long', label: 'long' },
  ]),
  words('weight', 'Weight of the car', [
    { value: 'heavy', label: 'heavy' },
    { value: 'usual', label: 'usual' },
    { value: 'light', label: 'light' },
  ]),
  words('gearing', 'Gearing', [
    { value: 'long', label: 'long' },
    { value: 'usual', label: 'usual' },
    { value: 'short', label: 'short' },
  ]),
  words('converter', 'Converter', [
    { value: 'tight', label: 'tight' },
    { value: 'usual', label: 'usual' },
    { value: 'loose', label: 'loose' },
    { value: 'manual', label: 'none, clutch' },
  ]),
] as const;
