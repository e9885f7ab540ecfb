import { expect, test } from 'vitest';
import {
  countText,
  dbOfFullScale,
  degText,
  durationText,
  intervalText,
  kilohertzText,
  levelText,
  momentText,
  NOT_SEEN,
  numberText,
  percentText,
  rpmFigure,
  rpmSdText,
  rpmText,
  signedDegText,
  signedText,
} from '../../web/format';

test('a number below zero carries the true minus sign, U+2212', () =>
  expect(numberText(-2.5, 1)).toBe('\u22122.5'));
test('a number that rounds to zero from below shows no minus', () =>
  expect(numberText(-0.04, 1)).toBe('0.0'));
test('a number that is not finite is refused', () => {
  expect(() => numberText(NaN)).toThrow(RangeError);
  expect(() => numberText(Infinity)).toThrow(RangeError);
});

test('a correction above zero carries a plus, zero carries none', () => {
  expect(signedText(1.5, 1)).toBe('+1.5');
  expect(signedText(0.01, 1)).toBe('0.0');
  expect(signedDegText(-3)).toBe('\u22123.0°');
});

test('a speed is whole while its spread is below ten, and in tens above', () => {
  expect(rpmFigure(1404.4, 6.2)).toBe('1404');
  expect(rpmFigure(1404.4, 14)).toBe('1400');
  expect(rpmFigure(1404.4)).toBe('1404');
});

test('what has not been seen says so', () => {
  expect(rpmText(null)).toBe(NOT_SEEN);
  expect(degText(null)).toBe('not seen yet');
  expect(rpmSdText(null)).toBe('spread not known');
});

test('every figure carries its unit', () => {
  expect(rpmText(812.3, 4)).toBe('812 rpm');
  expect(rpmSdText(4.24)).toBe('± 4.2 rpm');
  expect(rpmSdText(14.2)).toBe('± 14 rpm');
  expect(degText(34.46)).toBe('34.5°');
  expect(kilohertzText(44_100)).toBe('44.1 kHz');
  expect(kilohertzText(48_000)).toBe('48 kHz');
  expect(intervalText(33.14, 34.96)).toBe('33.1 to 35.0');
});

// Decibels of an amplitude: 20 log10; half of full scale is -6.02 dB, a tenth -20 dB (hand arithmetic).
test('a level is given in decibels of full scale', () => {
  expect(dbOfFullScale(0.5)).toBeCloseTo(-6.0206, 4);
  expect(levelText(0.1)).toBe('\u221220.0 dB');
  expect(levelText(1)).toBe('0.0 dB');
});
test('no signal has no decibels', () => {
  expect(dbOfFullScale(0)).toBeNull();
  expect(levelText(0)).toBe('silence');
});

test('a share is a percentage, finer when small', () => {
  expect(percentText(0.034)).toBe('3.4 %');
  expect(percentText(0.62)).toBe('62 %');
  expect(percentText(0)).toBe('0 %');
});

test('a duration turns to minutes at sixty seconds', () => {
  expect(durationText(7.46)).toBe('7.5 s');
  expect(durationText(42)).toBe('42 s');
  expect(durationText(125)).toBe('2 min 05 s');
});

test('one is one and many are many', () => {
  expect(countText(1, 'reading')).toBe('1 reading');
  expect(countText(0, 'reading')).toBe('0 readings');
});

test('a moment shows day, month, year and time', () =>
  expect(momentText('2026-11-25T14:05:00Z')).toMatch(/25 Nov 2026, \d\d:\d\d/));
