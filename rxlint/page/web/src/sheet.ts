/**
 * The page that shows a sheet: it asks the page that it belongs to, and puts the sheet's own style and content in its
 * place. The sheet brings no script, and none would run: this page's policy allows only this one.
 */

import type { SheetMessage } from "./sheet_view";

const asker: Window | null = window.parent === window ? (window.opener as Window | null) : window.parent;

addEventListener("message", (event: MessageEvent<SheetMessage>) => {
  if (event.origin !== location.origin || event.source !== asker) return;
  const sheet = new DOMParser().parseFromString(event.data.sheet, "text/html");
  for (const each of sheet.querySelectorAll("script, meta[http-equiv], base")) each.remove();
  document.title = sheet.title;
  document.documentElement.lang = sheet.documentElement.lang;
  for (const each of document.head.querySelectorAll("style")) each.remove();
  document.head.append(...sheet.head.querySelectorAll("style"));
  document.body.replaceChildren(...sheet.body.childNodes);
});

if (asker === null) document.body.textContent = "There is no sheet here. Open it from the page of the desk.";
else asker.postMessage("sheet, please", location.origin);
