import { describe, expect, it } from 'vitest';
import { heldByTheDead, workerName } from '../../packages/jobs/src/worker-name.js';

describe('workers that are no more', () => {
  const alive = (pid: number): boolean => pid === 7;
  const jobs = ['here/7', 'here/8', 'here/8', 'there/8', null].map((worker) => ({ worker }));

  it('are those of this machine only', () => {
    expect(heldByTheDead(jobs, 'here', alive)).toEqual(['here/8']);
  });

  it('are not this program itself', () => {
    expect(heldByTheDead([{ worker: workerName('here', process.pid) }], 'here')).toEqual([]);
  });
});
