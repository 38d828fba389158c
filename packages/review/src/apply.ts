import { badArgument, STAGES, type PhotoCount, type Stage } from '@veligrid/model';
import type { DirectDecision, DrawnObject, DrawnOutline } from './decision.js';
import { drawnObject, isAnimal, isOutside, measuredAnew } from './objects.js';
import type { ReviewedObject, ReviewedPhoto } from './reviewed.js';

function checkOutline(outline: DrawnOutline): void {
  if (outline.length < 3 || !outline.flat().every(Number.isFinite)) {
    throw badArgument('an outline', 'three or more corners of finite pixels', `${outline.length} corners`);
  }
}

function checkStage(stage: Stage): void {
  if (!STAGES.includes(stage)) throw badArgument('a stage', `one of ${STAGES.join(', ')}`, stage);
}

function find(photo: ReviewedPhoto, id: string): ReviewedObject {
  const found = photo.objects.find((object) => object.id === id);
  if (found === undefined) throw badArgument('the object', `one that ${photo.count.photo} still has`, id);
  return found;
}

/** Every id that a photo ever had may be used once only, found or drawn. */
function checkNew(photo: ReviewedPhoto, drawn: readonly DrawnObject[]): void {
  const ids = [...photo.objects.map(({ id }) => id), ...photo.count.detections.map(({ id }) => id)];
  for (const [i, { id, outline, stage }] of drawn.entries()) {
    checkOutline(outline);
    checkStage(stage);
    if (ids.includes(id) || drawn.findIndex((other) => other.id === id) !== i) {
      throw badArgument('the id of a drawn object', `new in ${photo.count.photo}`, id);
    }
  }
}

const changed = (
  photo: ReviewedPhoto,
  id: string,
  change: (object: ReviewedObject) => Partial<ReviewedObject>,
  by: string,
): ReviewedPhoto => {
  find(photo, id);
  const objects = photo.objects.map((object) =>
    object.id === id ? { ...object, ...change(object), decisions: [...object.decisions, by] } : object,
  );
  return { ...photo, objects };
};

function relabelled({ count }: ReviewedPhoto, id: string, stage: Stage): Partial<ReviewedObject> {
  checkStage(stage);
  const outside = count.detections.some((found) => found.id === id && isOutside(found, count.counting));
  return { stage, counted: isAnimal(stage) && !outside };
}

function replaced(
  photo: ReviewedPhoto,
  old: readonly string[],
  drawn: readonly DrawnObject[],
  decision: string,
): ReviewedPhoto {
  for (const id of old) find(photo, id);
  checkNew(photo, drawn);
  const kept = photo.objects.filter(({ id }) => !old.includes(id));
  return { ...photo, objects: [...kept, ...drawn.map((one) => drawnObject(one, photo.count, decision))] };
}

function squaresChosen({ grid, photo }: PhotoCount, squares: readonly string[] | null): readonly string[] | null {
  if (squares === null) return null;
  const names = grid?.squares.map(({ name }) => name) ?? [];
  const unknown = squares.find((name) => !names.includes(name));
  if (unknown !== undefined) throw badArgument('a square', `one that ${photo} shows whole`, unknown);
  if (squares.length === 0) throw badArgument('the squares', 'one or more, or null for the whole field', 'none');
  return [...new Set(squares)];
}

function atLeastTwo(name: string, count: number): void {
  if (count < 2) throw badArgument(name, 'two or more', count);
}

/** One photo after a decision about it. */
function applied(photo: ReviewedPhoto, decision: DirectDecision): ReviewedPhoto {
  const { count } = photo;
  switch (decision.kind) {
    case 'relabel':
      return changed(photo, decision.object, () => relabelled(photo, decision.object, decision.stage), decision.id);
    case 'form':
      return changed(photo, decision.object, () => ({ form: decision.form }), decision.id);
    case 'redraw':
      checkOutline(decision.outline);
      return changed(photo, decision.object, () => measuredAnew(decision.outline, count), decision.id);
    case 'remove':
      return replaced(photo, [decision.object], [], decision.id);
    case 'add':
      return replaced(photo, [], [decision.drawn], decision.id);
    case 'split':
      atLeastTwo('the parts of a split', decision.into.length);
      return replaced(photo, [decision.object], decision.into, decision.id);
    case 'join':
      atLeastTwo('the objects to join', new Set(decision.objects).size);
      return replaced(photo, decision.objects, [decision.into], decision.id);
    case 'reject-photo':
      return { ...photo, rejected: decision.reason };
    case 'choose-squares':
      return { ...photo, squares: squaresChosen(count, decision.squares) };
    case 'note':
      return { ...photo, notes: [...photo.notes, { by: decision.by, at: decision.at, text: decision.text }] };
  }
}

/** All photos after one decision. */
export function applyDecision(photos: readonly ReviewedPhoto[], decision: DirectDecision): ReviewedPhoto[] {
  if (!photos.some(({ count }) => count.photo === decision.photo)) {
    throw badArgument('the photo', 'one of this count', decision.photo);
  }
  return photos.map((photo) => (photo.count.photo === decision.photo ? applied(photo, decision) : photo));
}
