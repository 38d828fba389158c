import { InvalidArgumentError, type Command } from 'commander';
import type { Adding } from '../adding.js';
import { serveCommand, type ServeArguments } from './serve-command.js';

const HELP = `
Examples:
  veligrid serve --open
      the viewer with two demo counts, in the folder veligrid-demo
  veligrid serve --data our-hatchery
      your own hatchery; the folder is made when missing and never holds the demo
  veligrid serve --data our-hatchery --accounts
      staff sign in; prints the code for the first manager
  veligrid serve --data our-hatchery --host 0.0.0.0 --tls-cert cert.pem --tls-key key.pem
      for tablets and other computers too: needs accounts, and TLS by these files or by a proxy (--trust-proxy)
  veligrid serve --database-file veligrid.json --threads 0
      one of several servers on one PostgreSQL; photos are counted by veligrid worker. docs/many-machines.md tells more
`;

const LARGEST_PORT = 65_535;

function portNumber(text: string): number {
  const port = Number(text);
  if (/^\d+$/.test(text) && port <= LARGEST_PORT) return port;
  throw new InvalidArgumentError(`Give a whole number from 0 to ${String(LARGEST_PORT)}; 0 takes any that is free.`);
}

const MOST_HOURS = 24 * 31;

function hourNumber(text: string): number {
  const hours = Number(text);
  if (text.trim() !== '' && hours >= 1 && hours <= MOST_HOURS) return hours;
  throw new InvalidArgumentError(`Give a number of hours from 1 to ${String(MOST_HOURS)}.`);
}

function threadNumber(text: string): number {
  if (/^[1-9]\d{0,2}$/.test(text)) return Number(text);
  throw new InvalidArgumentError('Give a whole number of 1 or more.');
}

function serverThreads(text: string): number {
  return text === '0' ? 0 : threadNumber(text);
}

/** Adds `veligrid serve`. */
export function addServe(program: Command, { console, done }: Adding): void {
  program
    .command('serve')
    .description('the viewer: drop photos, check and correct what was found, sign counts off')
    .option('--port <n>', 'port to listen at', portNumber, 4380)
    .option('--host <address>', 'address to listen at; others than this machine need accounts and TLS', '127.0.0.1')
    .option('--data <folder>', 'folder of your hatchery (default: the demo in veligrid-demo)')
    .option('--database-file <file>', 'file that tells the database and the place of photos of many machines')
    .option('--open', 'open the browser')
    .option('--accounts', 'staff sign in with name and password, on this machine too')
    .option('--tls-cert <file>', 'certificate in PEM form')
    .option('--tls-key <file>', 'its key in PEM form')
    .option('--trust-proxy', 'a proxy in front does TLS and says who asks')
    .option('--plain-http', 'no TLS on a bench network of your own; says what is lost')
    .option(
      '--threads <n>',
      'photos counted at a time (default: one less than the processor cores); 0 leaves all to veligrid worker',
      serverThreads,
    )
    .option('--backup-to <folder>', 'makes backups by itself, each in a folder of its own below this one')
    .option('--backup-every <hours>', 'hours between them', hourNumber, 24)
    .option('--keep <n>', 'backups kept', threadNumber, 14)
    .option('--cache <gb>', 'most room for tiles and thumbnails, in gigabytes', threadNumber, 5)
    .addHelpText('after', HELP)
    .action(async (options: ServeArguments) => {
      done(await serveCommand(options, console));
    });
}
