import { startRunner } from '@veligrid/jobs';
import { openStore } from '@veligrid/storage';

// Counts what waits in a database until it is killed; run by the tests from the built code, in a process of its own:
// node run-worker.mjs PLACE.json LEASE_MS. It says so when it began a photo.
const [, , place = '', leaseMs = ''] = process.argv;
const store = await openStore(place);
await startRunner(store, {
  threads: 1,
  leaseMs: Number(leaseMs),
  pollMs: 50,
  worker: new URL('fake-count-worker.mjs', import.meta.url),
  onChange: ({ state }) => process.stdout.write(`${state}\n`),
});
