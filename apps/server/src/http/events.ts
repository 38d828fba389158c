import type { Request, Response } from 'express';

/** A stream of server-sent events to one browser (HTML Living Standard, 9.2). */
export interface EventStream {
  readonly send: (event: string, data: unknown) => void;
  readonly isOpen: () => boolean;
  /** Resolves when the browser has gone. */
  readonly gone: Promise<void>;
}

const HEARTBEAT_MS = 15_000;

/** Begins a stream; a line now and then keeps proxies from closing it. */
export function openEvents(req: Request, res: Response): EventStream {
  res.writeHead(200, {
    'Content-Type': 'text/event-stream; charset=utf-8',
    'Cache-Control': 'no-store',
    'X-Accel-Buffering': 'no',
  });
  // browsers wait this long before they come back after a break
  res.write('retry: 2000\n\n');
  let open = true;
  const heartbeat = setInterval(() => res.write(': here\n\n'), HEARTBEAT_MS);
  const gone = new Promise<void>((resolve) => {
    const end = (): void => {
      open = false;
      clearInterval(heartbeat);
      resolve();
    };
    req.on('close', end);
    res.on('close', end);
  });
  return {
    send: (event, data) => {
      if (open) res.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
    },
    isOpen: () => open,
    gone,
  };
}
