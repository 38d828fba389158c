/** What decides whether the server may be started. */
export interface Reach {
  /** Address to listen at. */
  readonly host: string;
  /** Somebody has an account. */
  readonly accounts: boolean;
  /** Own certificate files were given. */
  readonly tls: boolean;
  /** A proxy before it does TLS. */
  readonly trustProxy: boolean;
  /** The bench network may go without TLS. */
  readonly plainHttp: boolean;
}

/** Whether only this machine reaches an address. */
export const isLoopback = (host: string): boolean =>
  host === 'localhost' || host === '::1' || /^127(\.\d{1,3}){3}$/.test(host);

const NO_ACCOUNTS =
  'Beyond this machine people must sign in, and nobody can yet. First start it here with --accounts (and without --host), open the address it prints, and make the first manager with the code it prints. Then start it again with --host.';

const NO_TLS =
  'Beyond this machine the connection must be encrypted. Give --tls-cert FILE and --tls-key FILE, or --trust-proxy when a proxy before it does that. On a bench network of your own --plain-http goes without: passwords can then be read on that network, and tablets can neither install the viewer nor use their camera live.';

/** Why the server may not be started this way and what to do, or null when it may. */
export function serveRefusal({ host, accounts, tls, trustProxy, plainHttp }: Reach): string | null {
  if (isLoopback(host)) return null;
  if (!accounts) return NO_ACCOUNTS;
  return tls || trustProxy || plainHttp ? null : NO_TLS;
}

/** What is said when a server without TLS starts. */
export const PLAIN_HTTP_WARNING =
  'Without TLS (--plain-http): passwords can be read on this network, and tablets can neither install the viewer nor use their camera live.';
