import { once } from 'node:events';
import { connect, createServer, type AddressInfo, type Socket } from 'node:net';
import { setTimeout } from 'node:timers/promises';

/** A way to a server that a test can break without either end being told. */
export interface ShakyNetwork {
  /** Port of this machine that leads to the server. */
  readonly port: number;
  /** Passes nothing more and closes nothing, neither what is open nor what is opened: half-open connections. */
  stall(): void;
  /** Passes nothing on what is open now, for ever, and closes none of it; what is opened later passes. */
  lose(): void;
  /** Closes everything that is open. */
  drop(): void;
  /** Holds each answer back for a time, ms. */
  slow(delayMs: () => number): void;
  /** Passes everything again: what was held back too, but what was lost. */
  heal(): void;
  close(): Promise<void>;
}

/** Two sockets that are one connection to those at its ends. */
interface Link {
  readonly near: Socket;
  readonly far: Socket;
  lost: boolean;
}

class Network implements ShakyNetwork {
  readonly #links = new Set<Link>();
  readonly #server = createServer({ allowHalfOpen: true }, (near) => {
    this.#join(near);
  });
  readonly #socketPath: string;
  #open = Promise.resolve();
  #opened = (): void => undefined;
  #stalled = false;
  #delayMs: (() => number) | null = null;

  constructor(socketPath: string) {
    this.#socketPath = socketPath;
  }

  get port(): number {
    return (this.#server.address() as AddressInfo).port;
  }

  async start(): Promise<this> {
    this.#server.listen(0, '127.0.0.1');
    await once(this.#server, 'listening');
    return this;
  }

  #join(near: Socket): void {
    const link: Link = { near, far: connect({ path: this.#socketPath, allowHalfOpen: true }), lost: false };
    this.#links.add(link);
    this.#pass(link, link.near, link.far, () => 0);
    this.#pass(link, link.far, link.near, () => this.#delayMs?.() ?? 0);
  }

  /** Passes what comes in its order, and its end after it. */
  #pass(link: Link, from: Socket, to: Socket, delayMs: () => number): void {
    let before = Promise.resolve();
    const after = (act: () => void): void => {
      before = before.then(async () => {
        const wait = delayMs();
        if (wait > 0) await setTimeout(wait);
        await this.#open;
        if (!link.lost) act();
      });
    };
    from.on('data', (chunk) => {
      after(() => to.write(chunk));
    });
    from.on('end', () => {
      after(() => to.end());
    });
    from.on('error', () => undefined);
    from.on('close', () => {
      after(() => {
        to.destroy();
        this.#links.delete(link);
      });
    });
  }

  stall(): void {
    if (this.#stalled) return;
    this.#stalled = true;
    this.#open = new Promise((resolve) => {
      this.#opened = resolve;
    });
  }

  lose(): void {
    for (const link of this.#links) link.lost = true;
  }

  drop(): void {
    for (const { near, far } of this.#links) for (const end of [near, far]) end.destroy();
    this.#links.clear();
  }

  slow(delayMs: () => number): void {
    this.#delayMs = delayMs;
  }

  heal(): void {
    this.#stalled = false;
    this.#delayMs = null;
    this.#opened();
    // in time the server is told by its system that nobody is there
    for (const { far, lost } of this.#links) if (lost) far.destroy();
  }

  async close(): Promise<void> {
    this.heal();
    this.drop();
    this.#server.close();
    await once(this.#server, 'close');
  }
}

/** Makes a way to a server that listens at a socket file. */
export const shakyNetwork = (socketPath: string): Promise<ShakyNetwork> => new Network(socketPath).start();
