export { confirm, type SignOff } from './confirm.js';
export type { Choice, Decision, DirectDecision, DrawnObject, DrawnOutline, Form, Made } from './decision.js';
export { redoLast, standing, undoLast } from './history.js';
export { mergeDecisions, type Conflict, type Merged } from './merge.js';
export type { ReviewedObject, ReviewedPhoto } from './reviewed.js';
export { viewOf } from './view.js';
