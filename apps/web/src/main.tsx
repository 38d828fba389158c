import { render } from 'preact';
import { App } from './app.js';

const root = document.querySelector('#app');
if (root !== null) render(<App />, root);
