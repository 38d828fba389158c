import { useState } from 'preact/hooks';
import type { ComponentChildren, VNode } from 'preact';
import { Button } from '../parts/button.js';
import { ScrollX } from '../parts/scroll-x.js';
import { say } from '../words/say.js';

/** Size of every drawing in its own units. */
export const WIDTH = 900;
export const HEIGHT = 340;
/** Room for the axes. */
export const EDGE = { left: 58, right: 18, top: 18, bottom: 48 };

interface Props {
  readonly title: string;
  readonly drawing: ComponentChildren;
  readonly table: ComponentChildren;
  /** What there is to say below both. */
  readonly children?: ComponentChildren;
  /** On paper both are shown. */
  readonly onPaper?: boolean;
}

/** A drawing and the table behind it, one at a time on screen. */
export function Chart({ title, drawing, table, children, onPaper = false }: Props): VNode {
  const [asTable, setAsTable] = useState(false);
  if (onPaper) {
    return (
      <section class="sheet stack chart">
        <div class="unbroken">
          <h2>{title}</h2>
          {drawing}
        </div>
        {table}
        {children}
      </section>
    );
  }
  return (
    <section class="sheet stack chart">
      <div class="side-by-side spread">
        <h2>{title}</h2>
        <Button
          pressed={asTable}
          label={`${title}: ${say('chart.table')}`}
          onClick={() => {
            setAsTable(!asTable);
          }}
        >
          {say('chart.table')}
        </Button>
      </div>
      <ScrollX label={title}>{asTable ? table : drawing}</ScrollX>
      {children}
    </section>
  );
}
