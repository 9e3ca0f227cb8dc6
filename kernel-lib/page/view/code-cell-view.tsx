import { useEffect, useRef } from 'preact/hooks';
import { markOf } from '../../notebook/marks';
import type { CodeCell } from '../../notebook/notebook';
import { sourceOf } from '../../notebook/text';
import { placeIn } from '../sheet/outputs';
import type { Session } from '../sheet/session';
import { useStore } from '../store';
import { Act } from './act';
import { RemoveOwn } from './added-cells';
import { AskBox } from './ask-box';
import { CellNote } from './cell-note';
import { CodeBox } from './code-box';
import { focusAfter } from './focus';
import { OutputsView } from './outputs-view';

interface Props {
  cell: CodeCell;
  /** Of the part that it stands in. */
  question: string | undefined;
  session: Session;
}

const kinds = {
  given: { title: 'Given', act: 'Run' },
  answer: { title: 'Answer', act: 'Check' },
  work: { title: 'Your working', act: 'Run' },
  own: { title: 'Your own working', act: 'Run' },
};

/** A place to work in, an answer line, or what is given; with what came out below. */
export function CodeCellView({ cell, question, session }: Props) {
  const role = markOf(cell)?.role;
  const kind = role === 'given' || role === 'answer' || role === 'work' ? role : 'own';
  const { title, act } = kinds[kind];
  const { running, renewed, waiting, runs, asked } = useStore(session.runner.state);
  const locked = cell.metadata.editable === false;
  const source = sourceOf(cell);
  const frame = useRef<HTMLDivElement>(null);
  const state = cell.id === running ? 'running' : waiting.includes(cell.id) ? 'waiting' : 'still';
  const run = () => session.runner.runCell(cell.id);
  const runOn = () => {
    run();
    if (frame.current) focusAfter(frame.current);
  };
  const label = question ? `${title}, question ${question}` : title;

  // Shift+Enter anywhere in the cell runs it and moves on; Ctrl or ⌘+Enter runs it and stays.
  useEffect(() => {
    const box = frame.current;
    const key = (event: KeyboardEvent) => {
      if ((event.target as Element).closest('.asked')) return;
      if (event.key !== 'Enter' || !(event.shiftKey || event.ctrlKey || event.metaKey)) return;
      event.preventDefault();
      event.stopPropagation();
      if (event.shiftKey) runOn();
      else run();
    };
    box?.addEventListener('keydown', key, { capture: true });
    return () => box?.removeEventListener('keydown', key, { capture: true });
  });

  return (
    <div
      class={`code-cell ${kind}`}
      data-state={state}
      data-renewed={cell.id === running && renewed}
      data-cell={cell.id}
      data-runs={runs.get(cell.id) ?? 0}
      ref={frame}
    >
      <div class="entry">
        <CodeBox
          folded={kind === 'given'}
          source={source}
          locked={locked}
          label={label}
          title={title}
          link={session.link}
          fault={placeIn(cell.outputs)}
          onChange={(text) => session.model.edit(cell.id, text)}
        />
        <div class="acts">
          <Act
            main={kind === 'given' && cell.outputs.length === 0}
            onClick={run}
            off={state !== 'still'}
            label={`${act}: ${label}`}
          >
            {act}
          </Act>
          <Act
            quiet
            onClick={() => session.runner.runFrom(cell.id)}
            off={state !== 'still'}
            label={`${label}: Run from here`}
          >
            Run from here
          </Act>
          {kind === 'own' && <RemoveOwn id={cell.id} label={label} session={session} />}
          <CellNote cell={cell} session={session} state={state} />
        </div>
      </div>
      <OutputsView outputs={cell.outputs} />
      {asked && cell.id === running && <AskBox key={asked.question} asked={asked} />}
    </div>
  );
}
