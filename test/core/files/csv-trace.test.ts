import { expect, test } from 'vitest';
import { CsvError } from '../../../core/files/csv';
import {
  readTrace,
  strikeRow,
  STRIKES_HEADER,
  TRACE_HEADER,
  traceRow,
  writeTrace,
} from '../../../core/files/csv-trace';

test('the headers are those of the contract', () => {
  expect(TRACE_HEADER).toBe('time_s,rpm,rpm_sd,state\r\n');
  expect(STRIKES_HEADER).toBe('time_s,amplitude\r\n');
});

test('a trace row has nanoseconds, thousandths of a revolution a minute and three figures of spread', () => {
  expect(traceRow(1.5, 2000.12345, 12.345, 'following')).toBe('1.500000000,2000.123,12.3,following\r\n');
  expect(traceRow(0.1, 900, 1234.5, 'following')).toBe('0.100000000,900.000,1235,following\r\n');
  expect(traceRow(0.1, 900, 0.00012345, 'following')).toBe('0.100000000,900.000,0.000123,following\r\n');
  expect(traceRow(0.1, 900, 0, 'following')).toBe('0.100000000,900.000,0,following\r\n');
  expect(traceRow(0.1, null, null, 'lost')).toBe('0.100000000,,,lost\r\n');
});

test('a strike row has nanoseconds and a millionth of full scale', () => {
  expect(strikeRow(3600.1234567891, 0.0123456789)).toBe('3600.123456789,0.012346\r\n');
});

test('a kept trace is written with its gaps and read back', () => {
  const csv = writeTrace({ timeS: [0, 0.5, 1], rpm: [800, null, 810.25], rpmSd: [4, null, 3.5] });
  expect(readTrace(csv)).toEqual([
    { timeS: 0, rpm: 800, rpmSd: 4, state: 'following' },
    { timeS: 0.5, rpm: null, rpmSd: null, state: 'lost' },
    { timeS: 1, rpm: 810.25, rpmSd: 3.5, state: 'following' },
  ]);
});

test('an empty trace is its header', () => {
  expect(writeTrace({ timeS: [], rpm: [], rpmSd: [] })).toBe(TRACE_HEADER);
  expect(readTrace(TRACE_HEADER)).toEqual([]);
});

test('a state that is none is refused with its row', () => {
  const read = (): unknown => readTrace('time_s,rpm,rpm_sd,state\n1,800,2,asleep\n');
  expect(read).toThrow(CsvError);
  expect(read).toThrow('row 2, column state: "asleep" is none of listening, following, lost');
});
