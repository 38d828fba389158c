import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { say } from '../words/say.js';

/** Prints the page; stands above a sheet and is not printed itself. */
export function PrintButton(): VNode {
  return (
    <p class="side-by-side not-printed">
      <Button
        look="main"
        onClick={() => {
          print();
        }}
      >
        {say('print.go')}
      </Button>
      <span class="soft">{say('print.how')}</span>
    </p>
  );
}
