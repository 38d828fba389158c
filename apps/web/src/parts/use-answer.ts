import { useCallback, useEffect, useState } from 'preact/hooks';

/** What came of asking the server. */
export interface Answered<T> {
  readonly value: T | null;
  /** Why there is none, in words. */
  readonly trouble: string | null;
  /** Asks again. */
  readonly again: () => void;
}

/** Asks once when a screen opens, and again when something it depends on changes. */
export function useAnswer<T>(asking: () => Promise<T>, on: readonly unknown[]): Answered<T> {
  const [value, setValue] = useState<T | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    let current = true;
    asking().then(
      (answer) => {
        if (!current) return;
        setValue(answer);
        setTrouble(null);
      },
      (error: unknown) => {
        if (current) setTrouble(error instanceof Error ? error.message : String(error));
      },
    );
    return () => {
      current = false;
    };
  }, [...on, turn]);
  const again = useCallback(() => {
    setTurn((last) => last + 1);
  }, []);
  return { value, trouble, again };
}
