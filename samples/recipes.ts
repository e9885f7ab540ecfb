/** What the sample recordings are: a name and the options of `simulate` that make it. Data only. */

export interface SampleRecipe {
  readonly name: string;
  readonly options: readonly string[];
}

export const SAMPLE_RECIPES: readonly SampleRecipe[] = [
  {
    name: 'idle-plug-hum',
    options:
      '--rate 44100 --bits 16 --seconds 4 --seed 101 --cylinders 4 --pickup plug --profile idle:850 --peak 0.3 --scatter 0.12 --kick=-0.4 --crosstalk 0.05-0.2 --noise 45 --hum 0.8'.split(
        ' ',
      ),
  },
  {
    name: 'sweep-coil-misfires',
    options:
      '--rate 44100 --bits 16 --seconds 5 --seed 102 --cylinders 4 --pickup coil --profile sweep:900-3600 --peak 0.4 --scatter 0.1 --kick 0.3 --noise 42 --whine 0.05 --misfires 0.04 --invert'.split(
        ' ',
      ),
  },
  {
    name: 'rise-plug-sensor',
    options:
      '--rate 44100 --bits 16 --channels 2 --seconds 3.6 --seed 103 --cylinders 4 --pickup plug --profile 0:900,0.4:900,3.2:3900 --initial 10 --springs middle --stop middle --crosstalk 0.05-0.25 --noise 48 --reference-deg 60 --leak 0.12'.split(
        ' ',
      ),
  },
];
