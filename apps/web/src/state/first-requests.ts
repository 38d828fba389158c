import { addressOf } from '../api/ask.js';
import type { Place } from './address.js';

/** What a place needs from the server before it can show anything, most needed first. */
export function firstRequests(place: Place): string[] {
  const session = addressOf('/session');
  if (!('count' in place)) return [session];
  const at = { sample: place.count };
  const ofSample = [addressOf('/samples/{sample}', at), addressOf('/samples/{sample}/photos', at)];
  const decisions = `${addressOf('/samples/{sample}/decisions', at)}?after=0`;
  const photo = place.screen === 'slide' && place.photo !== null ? { photo: place.photo } : null;
  if (photo === null) return [session, ...ofSample, decisions];
  const found = `${addressOf('/photos/{photo}/detections', photo)}?features=shown`;
  return [session, ...ofSample, addressOf('/photos/{photo}/pyramid', photo), decisions, found];
}
