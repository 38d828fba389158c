// s3rver has no types of its own; these are the parts that the tests use
declare module 's3rver' {
  import type { AddressInfo } from 'node:net';

  export default class S3rver {
    constructor(options: object);
    run(): Promise<AddressInfo>;
    close(): Promise<void>;
  }
}
