import { describe, expect, it } from 'vitest';
import { isLoopback, serveRefusal } from '../../apps/server/src/serve-refusal.js';

const bare = { host: '127.0.0.1', accounts: false, tls: false, trustProxy: false, plainHttp: false };

describe('beyond this machine', () => {
  it('nothing is asked for on this machine itself', () => {
    for (const host of ['127.0.0.1', '127.0.0.2', 'localhost', '::1'])
      expect(serveRefusal({ ...bare, host })).toBeNull();
    for (const host of ['0.0.0.0', '::', '192.168.1.7', 'bench.local', '127.0.0.1.example']) {
      expect(isLoopback(host)).toBe(false);
    }
  });

  it('accounts are needed, whatever else there is', () => {
    const all = { host: '0.0.0.0', accounts: false, tls: true, trustProxy: true, plainHttp: true };
    expect(serveRefusal(all)).toContain('make the first manager with the code');
  });

  it('so is TLS, by files or a proxy, or the word that it is not wanted', () => {
    const open = { ...bare, host: '192.168.1.7', accounts: true };
    expect(serveRefusal(open)).toContain('Give --tls-cert FILE and --tls-key FILE, or --trust-proxy');
    expect(serveRefusal({ ...open, tls: true })).toBeNull();
    expect(serveRefusal({ ...open, trustProxy: true })).toBeNull();
    expect(serveRefusal({ ...open, plainHttp: true })).toBeNull();
  });
});
