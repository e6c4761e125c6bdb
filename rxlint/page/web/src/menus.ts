/** Menus: a choice, a click elsewhere and Escape close them. */

/** Closes the menus of the page when they have done their work. */
export function closeMenus(): void {
  const open = (): HTMLDetailsElement[] => [...document.querySelectorAll<HTMLDetailsElement>("details.menu[open]")];
  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    for (const menu of open()) {
      const isChoice = target?.closest(".menu-items button") !== null;
      if (isChoice || target === null || !menu.contains(target)) menu.open = false;
    }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    for (const menu of open()) {
      const hadFocus = menu.contains(document.activeElement);
      menu.open = false;
      if (hadFocus) menu.querySelector("summary")?.focus();
    }
  });
}
