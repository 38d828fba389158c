// Preloaded into a measured process: writes its largest memory (kB) and its processor time (microseconds) as it ends.
import { writeFileSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';

if (isMainThread && process.env['VELIGRID_USAGE'] !== undefined) {
  const target = process.env['VELIGRID_USAGE'];
  process.on('exit', () => {
    const { maxRSS, userCPUTime, systemCPUTime } = process.resourceUsage();
    writeFileSync(target, JSON.stringify({ maxRSS, cpu: userCPUTime + systemCPUTime }));
  });
}
