import { render } from 'preact';
import { beginEarly } from './api/early.js';
import { App } from './app.js';
import { firstRequests } from './state/first-requests.js';
import { place } from './state/place.js';

beginEarly(firstRequests(place.value));
const root = document.querySelector('#app');
if (root !== null) render(<App />, root);
