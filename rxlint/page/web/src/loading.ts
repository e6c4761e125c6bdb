/** What is told while the program is being loaded, when it is there, and when it can't be. */

import type { Asking } from "./asking";
import type { About } from "./shapes";
import { byId, button, fill, h } from "./dom";

/**
 * Shows how far loading is. `say` tells it to those who hear the page, `ready` is called whenever the program has
 * started, `ended` when no answer will come any more, `anew` when it is to be started anew.
 */
export function showLoading(
  asking: Asking,
  say: (text: string) => void,
  ready: (about: About) => void,
  ended: () => void,
  anew: () => void,
): void {
  const place = byId("loading");
  const bar = h("progress", { max: 1, "aria-label": "Loading the checking program" });
  const told = h("p", {}, "The checking program is being loaded.");
  const patience =
    "You can write already; it is checked as soon as the program is there. This takes longest the first time.";
  const draw = (): void => {
    place.hidden = asking.ready;
    place.classList.remove("failed");
    place.removeAttribute("role");
    fill(place, told, bar, h("p", { class: "aside" }, patience));
  };
  const startAnew = (): void => {
    told.textContent = "The checking program is being started anew.";
    bar.max = 1;
    bar.removeAttribute("value");
    anew();
    draw();
    byId("paper-name").focus(); // the button that had the focus is gone
    say("The checking program is being started anew. Your texts are still here.");
  };
  draw();
  asking.onBack = draw;
  asking.onLoading = ({ done, total, what }) => {
    if (total > 0) {
      bar.max = total;
      bar.value = Math.min(done, total);
    }
    const amount = total > 0 && done < total ? `: ${megabytes(done)} of ${megabytes(total)} MB` : "";
    told.textContent = `${what}${amount}`;
  };
  asking.onReady = (about) => {
    place.hidden = true;
    say("The checking program is ready.");
    ready(about);
  };
  asking.onFailed = (why, isFinal) => {
    place.hidden = false;
    place.classList.add("failed");
    place.setAttribute("role", "alert");
    const file = asking.heldBy;
    const left = `If you start it anew, ${file} is left out until its text is changed; all else is checked again.`;
    const at = isFinal ? `It came to a stop at ${file}.` : `It is at ${file}.`;
    fill(
      place,
      h(
        "p",
        { class: "notice-title" },
        isFinal ? "\u25b2 Nothing is checked: the checking program is not running" : "\u25b2 No answer so far",
      ),
      ...why.split("\n").map((each) => h("p", {}, each)),
      file ? h("p", {}, `${at} ${left}`) : null,
      h(
        "p",
        {},
        "What you wrote is still in this tab, and stays there when the checking program is started anew. Save it to a file before you load the page anew.",
      ),
      button("Start the checking program anew", startAnew, { id: "start-anew" }),
      " ",
      button("Load the page anew", () => location.reload()),
    );
    if (isFinal) ended();
  };
}

function megabytes(bytes: number): string {
  return (bytes / 1_000_000).toFixed(1);
}

/** Registers what keeps the page for use without a network, and says when it is kept. */
export function keepForLater(told: HTMLElement): void {
  const keeper = navigator.serviceWorker as ServiceWorkerContainer | undefined; // absent over plain http from another computer
  if (keeper === undefined) {
    told.textContent = "It needs the network each time it is opened, since this address is not a secure one.";
    return;
  }
  keeper.register("offline.js").then(
    async () => {
      await keeper.ready;
      told.textContent = "This page is now kept by the browser and opens without a network too.";
    },
    () => {
      told.textContent = "This browser does not keep the page, so it needs the network each time it is opened.";
    },
  );
}
