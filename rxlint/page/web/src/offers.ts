/** What may stand at the caret, and what is told of a place: the program's answers in the editor's pop-ups. */

import {
  type Completion,
  type CompletionContext,
  type CompletionResult,
  autocompletion,
} from "@codemirror/autocomplete";
import type { Extension } from "@codemirror/state";
import { type EditorView, hoverTooltip } from "@codemirror/view";
import { markdownOf } from "./markdown";
import { endsOf, placeOf } from "./places";
import type { Offered, Told } from "./shapes";

export interface Teller {
  offers(line: number, column: number): Promise<readonly Offered[]>;
  hover(line: number, column: number): Promise<Told | null>;
}

/** Offers while one types and by Ctrl-Space. None is chosen until an arrow key chooses it: Enter alone never writes one. */
export function offering(teller: Teller): Extension {
  return [
    autocompletion({
      override: [(context) => offered(teller, context)],
      icons: false,
      selectOnOpen: false,
      maxRenderedOptions: 7, // the list goes on with the arrow keys and needs no scrolling,
    }),
    hoverTooltip(async (view, offset) => {
      const told = await toldAt(teller, view, offset);
      if (told === null) return null;
      const { from, to } = endsOf(view.state.doc, told.at);
      return { pos: from, end: to, above: true, create: () => ({ dom: markdownOf(told.markdown) }) };
    }),
  ];
}

/** What is told of an offset; null where there is nothing, or where the text has changed since. */
export async function toldAt(teller: Teller, view: EditorView, offset: number): Promise<Told | null> {
  const asked = view.state.doc;
  const { line, column } = placeOf(asked, offset);
  const told = await teller.hover(line, column);
  return view.state.doc === asked ? told : null;
}

async function offered(teller: Teller, context: CompletionContext): Promise<CompletionResult | null> {
  const asked = context.state.doc;
  const { line, column } = placeOf(asked, context.pos);
  const found = await teller.offers(line, column);
  const isNew = ({ at, text }: Offered): boolean => {
    const { from, to } = endsOf(asked, at);
    return asked.sliceString(from, to) !== text;
  };
  if (context.aborted || !found.some(isNew)) return null; // what stands there already need not be offered
  const starts = found.map((each) => endsOf(asked, each.at).from);
  const options = found.map((each) => optionOf(each, context));
  return { from: Math.min(...starts), options, filter: false };
}

function optionOf(offer: Offered, context: CompletionContext): Completion {
  const asked = context.state.doc;
  const option: Completion = {
    label: offer.label,
    apply(view) {
      if (view.state.doc !== asked) return; // the places would be those of another text
      const { from, to } = endsOf(asked, offer.at);
      const caret = from + offer.text.length;
      view.dispatch({
        changes: { from, to, insert: offer.text },
        selection: { anchor: caret },
        userEvent: "input.complete",
      });
    },
  };
  if (offer.detail) option.detail = `\u00a0${offer.detail}`; // a space, else both are heard as one word
  if (offer.markdown) option.info = () => markdownOf(offer.markdown);
  return option;
}
