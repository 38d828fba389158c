import { useEffect, useState } from 'preact/hooks';
import type { ComponentType, VNode } from 'preact';
import { say } from '../words/say.js';
import { Trouble } from './trouble.js';

/**
 * A screen whose code is fetched when it is opened first, which keeps the first page small.
 *
 * @param load imports the screen
 */
export function later<Props extends object>(load: () => Promise<ComponentType<Props>>): (props: Props) => VNode {
  let loaded: ComponentType<Props> | null = null;
  return function Later(props: Props): VNode {
    const [, setShown] = useState(loaded !== null);
    const [trouble, setTrouble] = useState<string | null>(null);
    useEffect(() => {
      if (loaded !== null) return;
      load().then(
        (screen) => {
          loaded = screen;
          setShown(true);
        },
        () => {
          setTrouble(say('app.part-missing'));
        },
      );
    }, []);
    const Screen = loaded;
    if (Screen !== null) return <Screen {...props} />;
    if (trouble !== null) return <Trouble text={trouble} />;
    return (
      <p class="sheet" role="status">
        {say('app.loading')}
      </p>
    );
  };
}
