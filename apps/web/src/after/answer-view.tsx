import type { PlanAnswer } from '@veligrid/api';
import type { VNode } from 'preact';
import { Cautions } from '../parts/cautions.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Warnings } from '../parts/warnings.js';
import { percent } from '../words/numbers.js';
import { say } from '../words/say.js';
import { shownAnswer, type AnswerTable } from './answer-rows.js';

const isNumber = (cell: string | undefined): boolean => cell !== undefined && /^[–−\-\d]/.test(cell);

/** Whether a column holds numbers, which stand flush right. */
const numberIn = (rows: AnswerTable['rows'], column: number): string | undefined =>
  column > 0 && rows.every((row) => isNumber(row[column])) ? 'number' : undefined;

function Table({ table: { heads, rows }, label }: { readonly table: AnswerTable; readonly label: string }): VNode {
  return (
    <ScrollX label={label}>
      <table>
        <thead>
          <tr>
            {heads.map((head, i) => (
              <th key={head} scope="col" class={numberIn(rows, i)}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(([name, ...cells]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              {cells.map((cell, i) => (
                <td key={heads[i + 1]} class={numberIn(rows, i + 1)}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollX>
  );
}

/** An answer with its limits, what looks wrong, and what to heed. */
export function AnswerView({ answer, name }: { readonly answer: PlanAnswer; readonly name: string }): VNode {
  const { lines, tables } = shownAnswer(answer);
  return (
    <div class="stack">
      {lines.map((line, i) => (
        <p key={line}>{i === 0 ? <strong>{line}</strong> : line}</p>
      ))}
      <Warnings warnings={answer.warnings} />
      {tables
        .filter(({ rows }) => rows.length > 0)
        .map((table, i) => (
          <Table key={table.heads.join()} table={table} label={`${name} ${String(i + 1)}`} />
        ))}
      <p class="soft small">{say('answer.limits', { level: percent(answer.level, 0) })}</p>
      <Cautions cautions={answer.cautions} />
    </div>
  );
}
