import { describe, expect, test } from 'vitest';
import { coilRate, hungRate, shearModulusGPa, springRate } from '../../../core/mechanism/spring-rate';

describe('a spring’s rate off the engine', () => {
  // Hooke by hand: 0.5 kg × 9.80665 m/s² / 10 mm.
  test('half a kilogram that stretches it by 10 mm makes 0.490 N/mm', () => {
    expect(hungRate({ massG: 500, stretchMm: 10 }).rateNPerMm).toBeCloseTo(0.4903325, 7);
  });

  // Shigley, Mechanical Engineering Design (from memory): No. 16 music wire, d 0.037 in, D 0.400 in, 10.5 coils:
  // 4.13 lbf/in; 1 lbf/in = 0.1751268 N/mm. The table's 81.7 GPa is the book's 11.85 Mpsi to 0.01 %.
  test('the textbook’s spring of No. 16 music wire comes out at its 4.13 lbf/in', () => {
    const coil = {
      ...{ wireMm: 0.037 * 25.4, coilMm: 0.4 * 25.4, activeCoils: 10.5 },
      material: 'music wire' as const,
    };
    expect(coilRate(coil).rateNPerMm / 0.1751268).toBeCloseTo(4.13, 2);
  });

  // Shigley, table 10-5 (from memory), in Mpsi: 12.0 under 0.033 in, 11.85 to 0.063, 11.75 to 0.125, 11.6 over; oil
  // tempered 11.2, stainless 10.0, phosphor bronze 6.0. 1 Mpsi = 6.894757 GPa; the table here has three digits.
  test.each([
    ['music wire', 0.5, 12],
    ['music wire', 1, 11.85],
    ['music wire', 2, 11.75],
    ['music wire', 4, 11.6],
    ['oil-tempered wire', 1, 11.2],
    ['stainless steel', 1, 10],
    ['phosphor bronze', 1, 6],
  ] as const)('%s of %d mm has a shear modulus of %d Mpsi', (material, wireMm, mpsi) => {
    expect(Math.abs(shearModulusGPa(material, wireMm) / (mpsi * 6.894757) - 1)).toBeLessThan(0.002);
  });

  test('a measured rate goes before a calculated one, and nothing known is null', () => {
    const coil = { wireMm: 0.8, coilMm: 8, activeCoils: 9, material: 'music wire' as const };
    expect(springRate({ hung: { massG: 500, stretchMm: 10 }, coil })!.by).toBe('hung mass');
    expect(springRate({ hung: null, coil })!.by).toBe('coil');
    expect(springRate({ hung: null, coil: null })).toBeNull();
  });

  test('a short stretch is known less well than a long one', () => {
    expect(hungRate({ massG: 100, stretchMm: 2 }).share).toBeGreaterThan(
      hungRate({ massG: 1000, stretchMm: 20 }).share,
    );
  });

  test('figures that are not above 0 are refused', () => {
    expect(() => hungRate({ massG: 0, stretchMm: 10 })).toThrow(RangeError);
    expect(() => coilRate({ wireMm: 0, coilMm: 8, activeCoils: 9, material: 'music wire' })).toThrow(
      RangeError,
    );
  });
});
