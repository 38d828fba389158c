import { describe, expect, it } from 'vitest';
import { checkDateFormat, ISO_FORMATS, numberOf, timeOf, type Formats } from '@veligrid/season';

const formats = (more: Partial<Formats>): Formats => ({ ...ISO_FORMATS, zone: 'Z', ...more });

describe('numbers as they are written', () => {
  const cases: [text: string, more: Partial<Formats>, number: number | null][] = [
    ['1200000', {}, 1_200_000],
    ['1.5', {}, 1.5],
    ['2e6', {}, 2e6],
    ['-3', {}, -3],
    // with a point before the decimals a comma is not guessed at
    ['1,5', {}, null],
    ['1,200,000', {}, null],
    ['1.5', { decimal: ',' }, null],
    ['1,5', { decimal: ',' }, 1.5],
    ['1.200.000,25', { decimal: ',', thousands: '.' }, 1_200_000.25],
    ['1,200,000', { thousands: ',' }, 1_200_000],
    ["1'200", { thousands: "'" }, 1200],
    // groups of three only: 1,20 is a slip or a decimal
    ['1,20', { thousands: ',' }, null],
    ['', {}, null],
    ['12 L', {}, null],
    ['0x10', {}, null],
    ['Infinity', {}, null],
    ['1e999', {}, null],
  ];
  it.each(cases)('%j with %j is %j', (text, more, number) => {
    expect(numberOf(text, formats(more))).toBe(number);
  });
});

describe('dates as they are written', () => {
  const cases: [text: string, more: Partial<Formats>, time: string | null][] = [
    ['2026-05-06', {}, '2026-05-06T00:00:00.000Z'],
    ['2026-05-06T08:40Z', {}, '2026-05-06T08:40:00.000Z'],
    ['2026-05-06 08:40', { zone: '-04:00' }, '2026-05-06T12:40:00.000Z'],
    // a zone in the text wins
    ['2026-05-06T08:40+02:00', { zone: '-04:00' }, '2026-05-06T06:40:00.000Z'],
    ['06.05.2026', { date: 'DD.MM.YYYY' }, '2026-05-06T00:00:00.000Z'],
    ['5/6/2026 8:40', { date: 'M/D/YYYY H:mm' }, '2026-05-06T08:40:00.000Z'],
    ['05/06/2026', { date: 'DD/MM/YYYY' }, '2026-06-05T00:00:00.000Z'],
    ['06.05.2026', {}, null],
    ['2026-05-06', { date: 'DD.MM.YYYY' }, null],
    // days that no calendar has
    ['2026-02-30', {}, null],
    ['31.04.2026', { date: 'DD.MM.YYYY' }, null],
    ['2026-13-01', {}, null],
    ['1-15', {}, null],
  ];
  it.each(cases)('%j with %j is %j', (text, more, time) => {
    expect(timeOf(text, formats(more))).toBe(time);
  });

  it('a pattern without year, month or day is refused', () => {
    for (const date of ['DD.MM', 'YYYY', '', 'DD.DD.YYYY'])
      expect(() => {
        checkDateFormat(date);
      }).toThrow('expected ISO');
    expect(() => {
      checkDateFormat('D.M.YYYY H:mm');
    }).not.toThrow();
  });
});
