export { confirm, type SignOff } from './confirm.js';
export { applyDecision } from './apply.js';
export type { Choice, Decision, DirectDecision, DrawnObject, DrawnOutline, Form, Made } from './decision.js';
export { isAnimal } from './objects.js';
export { redoLast, standing, undoLast } from './history.js';
export { mergeDecisions, type Conflict, type Merged } from './merge.js';
export type { ReviewedObject, ReviewedPhoto } from './reviewed.js';
export { viewOf } from './view.js';
