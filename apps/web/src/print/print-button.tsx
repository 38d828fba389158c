import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { say } from '../words/say.js';

interface Props {
  readonly label: string;
  /** `main` where nothing else on the page is done as often. */
  readonly look?: 'main';
}

/** Prints the page. */
export const Print = ({ label, ...look }: Props): VNode => (
  <Button
    {...look}
    onClick={() => {
      print();
    }}
  >
    {label}
  </Button>
);

/** Prints the page, and says how; stands above a sheet and is not printed itself. */
export const PrintButton = (): VNode => (
  <p class="side-by-side not-printed">
    <Print look="main" label={say('print.go')} />
    <span class="soft">{say('print.how')}</span>
  </p>
);
