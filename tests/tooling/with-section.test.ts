import { describe, expect, it } from 'vitest';
import { withMeasured, withSection } from '../../tools/with-section.js';

const page = '# Figures\n\nHead.\n\n## Large\n\nOld.\n\n## Other\n\nOthers.\n';

describe('a section of a page', () => {
  it('takes the place of the one of its heading', () => {
    expect(withSection(page, '## Large', '## Large\n\nNew.\n')).toBe(page.replace('Old.', 'New.'));
  });

  it('is added at the end when there is none', () => {
    expect(withSection(page, '## New', '## New\n\nText.')).toBe(`${page}\n## New\n\nText.\n`);
  });
});

describe('what was measured', () => {
  it('is put between marks, and what a person wrote beside them stays whenever it is measured again', () => {
    const first = withMeasured(page, '## Large', 'Ten.');
    expect(first).toContain('Ten.');
    expect(first).toContain('Old.');
    const byHand = first.replace('Old.', 'Seen on a loaded machine.').replace('## Large\n', '## Large\n\nBefore.\n');
    const again = withMeasured(byHand, '## Large', 'Eleven.');
    expect(again).toBe(byHand.replace('Ten.', 'Eleven.'));
  });

  it('makes its section when there is none, and leaves the others alone', () => {
    const added = withMeasured(page, '## New', 'Ten.');
    expect(added.startsWith(page.trimEnd())).toBe(true);
    expect(withMeasured(added, '## New', 'Ten.')).toBe(added);
  });
});
