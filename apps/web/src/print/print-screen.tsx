import { PrintButton } from './print-button.js';
import type { Photo, Result, Sample } from '@veligrid/api';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { drawCrop } from '../parts/crop.js';
import { pyramidOf } from '../parts/pyramids.js';
import { useAnswer } from '../parts/use-answer.js';
import { StageLegend } from '../lengths/stage-legend.js';
import { Histogram } from '../lengths/histogram.js';
import { lengthData } from '../lengths/length-data.js';
import { ResultSheet } from '../signoff/result-sheet.js';
import { areaLines } from '../slide/area-lines.js';
import { MARKS, packOutlines } from '../slide/outline-data.js';
import { paintArea, paintOutlines } from '../slide/outline-painter.js';
import { allLarvae } from '../state/larvae.js';
import type { OpenSample } from '../state/open-sample.js';
import { session } from '../state/session.js';
import { settings } from '../state/settings.js';
import { dateTime, decimals, fromMl, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

interface Props {
  readonly open: OpenSample;
}

/** Pixels of a thumbnail: sharp in print at 80 mm. */
const WIDE = 960;

/** One photo with its outlines, drawn small. */
function Thumbnail({ open, photo }: Props & { readonly photo: Photo }): VNode {
  const canvas = useRef<HTMLCanvasElement>(null);
  const reviewed = open.reviewed.value.get(photo.id);
  useEffect(() => {
    const element = canvas.current;
    if (element === null || reviewed === undefined) return;
    const { count, objects, squares } = reviewed;
    const box = { minX: 0, minY: 0, maxX: count.widthPx, maxY: count.heightPx };
    void pyramidOf(photo.id)
      .then((tiles) => drawCrop(element, tiles, box))
      .then(() => {
        const pen = element.getContext('2d');
        const frame = {
          left: 0,
          top: 0,
          scale: WIDE / count.widthPx,
          width: element.width,
          height: element.height,
          lineWidth: 1.6,
          inPassing: false,
        };
        if (pen === null) return;
        paintArea(pen, areaLines(count, squares), frame);
        paintOutlines(pen, packOutlines(objects), frame, MARKS);
      });
  }, [reviewed, photo.id]);
  const height = Math.round((WIDE * photo.heightPx) / photo.widthPx);
  return (
    <figure>
      <canvas
        ref={canvas}
        width={WIDE}
        height={height}
        role="img"
        aria-label={say('slide.photo', { name: photo.name })}
      />
      <figcaption>
        {photo.name} · {say('photos.filling-n', { name: photo.filling })}
        {photo.field === null ? '' : ` · ${photo.field}`} · {scaleWords(reviewed?.count.scale.umPerPx)}
      </figcaption>
    </figure>
  );
}

const scaleWords = (umPerPx: number | null | undefined): string =>
  umPerPx === null || umPerPx === undefined
    ? say('slide.no-scale')
    : say('calibration.scale', { um: decimals(umPerPx, 4) });

/** Volume of the container in the unit of choice, with its millilitres. */
const volumeWords = (ml: number): string => {
  const unit = settings.value.volumeUnit;
  return `${threeFigures(fromMl(ml, unit))} ${unit === 'gal' ? 'US gal' : unit}`;
};

function stepsWords({ fillings }: Sample): string {
  const steps = fillings[0]?.steps ?? [];
  if (steps.length === 0) return say('print.no-steps');
  return steps
    .map(({ takenMl, madeUpToMl }) => say('print.step', { taken: threeFigures(takenMl), to: threeFigures(madeUpToMl) }))
    .join('; ');
}

function About({ sample, photos }: { readonly sample: Sample; readonly photos: readonly Photo[] }): VNode {
  const lines: readonly [string, string][] = [
    [say('begin.tank'), sample.tankName],
    [say('print.batch'), sample.batchName ?? '–'],
    [say('begin.taken-at'), dateTime(sample.takenAt)],
    [say('begin.condition'), say(`condition.${sample.condition.kind}`)],
    [say('print.species'), sayOr(`species.${sample.species}`, sample.species)],
    [say('begin.container'), volumeWords(sample.containerMl)],
    [say('begin.steps'), stepsWords(sample)],
    [say('begin.fillings'), String(sample.fillings.length)],
    [say('begin.cell'), say(`cell.${sample.cell.kind}`)],
    [say('begin.scale'), say(`scale.${sample.scale.kind}`)],
    [say('print.rule'), sayOr(`rule.${sample.countingRule}`, sample.countingRule)],
    [say('step.photos'), String(photos.length)],
  ];
  return (
    <dl class="about-count">
      {lines.map(([name, value]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}

/** The method as it was used, version by version. */
function Method({ open }: Props): VNode | null {
  const [first] = open.reviewed.value.values();
  if (first === undefined) return null;
  const { method } = first.count;
  return (
    <p class="small">
      {say('print.method', {
        name: method.name,
        version: method.version,
        finder: method.finderVersion,
        rules: method.rulesVersion,
      })}
    </p>
  );
}

function Signature({ result }: { readonly result: Result }): VNode {
  return (
    <p class="signature">
      {say('state.signed-off')} {say('result.signed', { by: result.signedOff.by, at: dateTime(result.signedOff.at) })}
    </p>
  );
}

/** The count sheet: one document for the binder, A4 or Letter. */
export function PrintScreen({ open }: Props): VNode {
  const results = useAnswer(
    () => ask<'getResults'>('get', '/samples/{sample}/results', { at: { sample: open.id } }),
    [open.id],
  );
  const reviewed = open.reviewed.value;
  const data = useMemo(() => lengthData(allLarvae(reviewed)), [reviewed]);
  const sample = open.sample.value;
  const standing = results.value?.results.findLast(({ reopened }) => reopened === null);
  const photos = open.photos.value.filter(({ state }) => state === 'counted');
  if (sample === null) return <p>{say('app.loading')}</p>;
  return (
    <div class="paper">
      <PrintButton />
      <article>
        <header>
          <h1>{say('print.title', { tank: sample.tankName })}</h1>
          <p>{session.value?.settings.hatchery}</p>
        </header>
        {session.value?.demo === true && <p class="demo">{say('app.demo')}</p>}
        {standing === undefined ? <p class="stamp">{say('state.open')}</p> : <ResultSheet result={standing} />}
        <About sample={sample} photos={photos} />
        {data.lengths.length > 0 && (
          <>
            <StageLegend data={data} />
            <Histogram data={data} count={open.id} screens={[]} />
          </>
        )}
        <Method open={open} />
        <div class="thumbnails">
          {photos.map((photo) => (
            <Thumbnail key={photo.id} open={open} photo={photo} />
          ))}
        </div>
        {standing !== undefined && <Signature result={standing} />}
      </article>
    </div>
  );
}
