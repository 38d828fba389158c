import { register } from 'tsx/esm/api';

register();
await import('./fake-main.ts');
