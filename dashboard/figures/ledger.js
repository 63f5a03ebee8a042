// Puts the table's HTML in place and tells the page which link or button was used.
export default function (component) {
  const { parentElement, data, setTriggerValue } = component;
  const root = parentElement.querySelector(".root");
  if (root.drawn !== data.html) {
    const focused = root.getRootNode().activeElement;
    const held = focused && root.contains(focused) ? focused.dataset.go : undefined;
    root.innerHTML = data.html;
    root.drawn = data.html;
    if (held !== undefined) {
      const again = [...root.querySelectorAll("[data-go]")].find((link) => link.dataset.go === held);
      if (again) again.focus();
    }
  }
  root.onclick = (event) => {
    const link = event.target.closest("[data-go]");
    if (!link) return;
    const wantsNewTab = event.ctrlKey || event.metaKey || event.shiftKey;
    if (wantsNewTab && link.getAttribute("href") && link.getAttribute("href") !== "#") return;
    event.preventDefault();
    setTriggerValue("go", link.dataset.go);
  };
}
