import { describe, expect, it } from 'vitest';
import { parseInventory, parseMeasurements } from '../../lib/rack/index.js';
import { type BadCase, expectOne, problemsOf } from './fixtures.js';

const HEADER = 'rack,bottomSlot,heightSlots,equipment,powerKw\n';

describe('an inventory', () => {
  it('is grouped by rack, with units from bottom to top and watts inside', () => {
    expect(parseInventory(`${HEADER}b,4,1,node,0.6\na,1,2,tall,1.5\n\nb,2,2,tall,2\n`)).toEqual([
      {
        rack: 'b',
        units: [
          { equipment: 'tall', bottomSlot: 2, heightSlots: 2, power: 2000 },
          { equipment: 'node', bottomSlot: 4, heightSlots: 1, power: 600 },
        ],
      },
      { rack: 'a', units: [{ equipment: 'tall', bottomSlot: 1, heightSlots: 2, power: 1500 }] },
    ]);
  });

  it('may have its columns in any order, quoted cells, a byte order mark and line ends of either kind', () => {
    const text = '\uFEFFpowerKw,equipment,heightSlots,bottomSlot,rack\r\n1,node,1,3,"a, left"\r\n';
    expect(parseInventory(text)).toEqual([
      { rack: 'a, left', units: [{ equipment: 'node', bottomSlot: 3, heightSlots: 1, power: 1000 }] },
    ]);
  });

  it('lists the first twenty problems and counts the others', () => {
    const lines = Array.from({ length: 25 }, (_, index) => `r${index},1,1,node,x\n`);
    const problems = problemsOf(() => parseInventory(HEADER + lines.join('')));
    expect(problems).toHaveLength(21);
    expect(problems[20].found).toBe('5 more problems of this kind');
  });
});

interface CsvCase extends Omit<BadCase, 'change'> {
  readonly text: string;
}

const BAD_INVENTORIES: CsvCase[] = [
  {
    says: 'units of one rack overlap',
    text: `${HEADER}a,1,3,tall,1\na,4,1,node,1\na,3,1,node,1\n`,
    path: 'line 4, column bottomSlot', found: 'slot 3',
    allowed: 'units of one rack may not overlap, and line 2 takes slots 1 to 3',
  },
  {
    says: 'a power has a decimal comma',
    text: `${HEADER}a,1,1,node,"1,5"\n`,
    path: 'line 2, column powerKw', found: '"1,5"', allowed: /^give a power above 0 in kW, with a decimal point/,
  },
  {
    says: 'a power is zero',
    text: `${HEADER}a,1,1,node,0\n`,
    path: 'line 2, column powerKw', found: '"0"', allowed: /leave out what draws no power/,
  },
  {
    says: 'a slot is not a whole number, counting blank lines',
    text: `${HEADER}\na,1.5,1,node,1\n`,
    path: 'line 3, column bottomSlot', found: '"1.5"', allowed: /a whole number of at least 1/,
  },
  {
    says: 'a height is missing',
    text: `${HEADER}a,1,,node,1\n`,
    path: 'line 2, column heightSlots', found: '""', allowed: /a whole number of at least 1/,
  },
  {
    says: 'the equipment is missing',
    text: `${HEADER}a,1,1,,1\n`,
    path: 'line 2, column equipment', found: 'an empty cell', allowed: 'give a name',
  },
  {
    says: 'a line is short',
    text: `${HEADER}a,1,1,node\n`,
    path: 'line 2', found: '4 cells', allowed: /^give 5 cells/,
  },
  {
    says: 'a column is misspelt',
    text: 'rack,bottomslot,heightSlots,equipment,powerKw\na,1,1,node,1\n',
    path: 'line 1', found: 'the unknown column "bottomslot"', allowed: /^did you mean "bottomSlot"\?/,
  },
  {
    says: 'a column is missing',
    text: 'rack,bottomSlot,heightSlots,equipment\na,1,1,node\n',
    path: 'line 1', found: 'no column "powerKw"',
    allowed: 'the columns are rack,bottomSlot,heightSlots,equipment,powerKw',
  },
  {
    says: 'a column appears twice',
    text: 'rack,rack,bottomSlot,heightSlots,equipment,powerKw\na,a,1,1,node,1\n',
    path: 'line 1', found: 'the column "rack" twice', allowed: /own name/,
  },
  {
    says: 'cells are separated by semicolons',
    text: 'rack;bottomSlot;heightSlots;equipment;powerKw\na;1;1;node;1\n',
    path: 'line 1', found: /^"rack;bottomSlot/, allowed: /^separate columns with commas/,
  },
  {
    says: 'a quote is never closed',
    text: `${HEADER}a,1,1,"node,1\n`,
    path: 'line 2', found: 'quotes that do not pair up', allowed: /double quotes/,
  },
  {
    says: 'there is only a header', text: HEADER, path: '', found: 'a header line without records',
    allowed: /at least one record/,
  },
  { says: 'the text is empty', text: '', path: '', found: 'an empty file', allowed: /^give a header line/ },
];

describe('an inventory is refused with exactly one message where', () => {
  for (const { says, text, ...expected } of BAD_INVENTORIES) {
    it(says, () => {
      expectOne(problemsOf(() => parseInventory(text, 'inv.csv')), 'inv.csv', expected);
    });
  }
});

describe('measurements', () => {
  it('are one column of numbers, in the unit of its name and not converted', () => {
    const text = 'sample,contactMicroOhm\na,80.5\nb,1e2\nc,.5\n';
    expect(parseMeasurements(text, 'contactMicroOhm')).toEqual([80.5, 100, 0.5]);
  });

  it('do not look at other columns', () => {
    expect(parseMeasurements('x,y\n1,n/a\n', 'x')).toEqual([1]);
  });

  it('are refused with exactly one message where the column is not there', () => {
    expectOne(problemsOf(() => parseMeasurements('contactMicroohm\n1\n', 'contactMicroOhm', 'm.csv')), 'm.csv', {
      path: 'line 1', found: 'no column "contactMicroOhm"', allowed: 'did you mean "contactMicroohm"? '
        + 'the columns of this file are "contactMicroohm"',
    });
  });

  for (const cell of ['n/a', '', '0x10', 'Infinity', '1e999', '1 000']) {
    it(`are refused with exactly one message where a cell is ${JSON.stringify(cell)}`, () => {
      expectOne(problemsOf(() => parseMeasurements(`a,x\n1,${cell}\n`, 'x', 'm.csv')), 'm.csv', {
        path: 'line 2, column x', found: JSON.stringify(cell), allowed: 'give a number with a decimal point',
      });
    });
  }
});
