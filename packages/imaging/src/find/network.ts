/** A loaded network: one array of numbers in, one out. */
export interface Network {
  /**
   * @param input numbers in the order of `shape`, the last index fastest
   * @returns the output's numbers, likewise
   */
  readonly run: (input: Float32Array, shape: readonly number[]) => Promise<Float32Array>;
  /** Which runtime carries it. */
  readonly runtime: 'native' | 'wasm';
  readonly release: () => Promise<void>;
}

/** How a network is loaded. */
export interface NetworkOptions {
  /** Threads inside one picture. Default 1: photos run side by side instead. */
  readonly threads?: number;
  /** Default `native`, and `wasm` where the native binary does not load. */
  readonly runtime?: 'native' | 'wasm';
}

async function native(model: Uint8Array, threads: number): Promise<Network> {
  const { InferenceSession, Tensor } = await import('onnxruntime-node');
  const session = await InferenceSession.create(model, {
    intraOpNumThreads: threads,
    interOpNumThreads: 1,
    graphOptimizationLevel: 'all',
    // with it, each size of tile would keep a block of memory of its own
    enableMemPattern: false,
  });
  return {
    runtime: 'native',
    run: async (input, shape) => {
      const { output } = await session.run({ input: new Tensor('float32', input, shape) });
      return (await output.getData()) as Float32Array;
    },
    release: () => session.release(),
  };
}

async function wasm(model: Uint8Array, threads: number): Promise<Network> {
  const { env, InferenceSession, Tensor } = await import('onnxruntime-web');
  env.wasm.numThreads = threads;
  const session = await InferenceSession.create(model, { executionProviders: ['wasm'], graphOptimizationLevel: 'all' });
  return {
    runtime: 'wasm',
    run: async (input, shape) => {
      const { output } = await session.run({ input: new Tensor('float32', input, shape) });
      return (await output.getData()) as Float32Array;
    },
    release: () => session.release(),
  };
}

/** Loads a network into the native runtime, or into WebAssembly when asked or when the native binary does not load. */
export async function loadNetwork(model: Uint8Array, options: NetworkOptions = {}): Promise<Network> {
  const { threads = 1, runtime } = options;
  if (runtime === 'wasm') return wasm(model, threads);
  if (runtime === 'native') return native(model, threads);
  try {
    return await native(model, threads);
  } catch {
    // no binary for this machine: the same network, slower, without one
    return wasm(model, threads);
  }
}
