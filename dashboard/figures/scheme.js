// Runs the page again when the system turns light or dark, so that charts made on the server follow.
export default function (component) {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  let waiting;
  const told = () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => component.setTriggerValue("scheme", dark.matches ? "dark" : "light"), 400);
  };
  dark.addEventListener("change", told);
  return () => {
    clearTimeout(waiting);
    dark.removeEventListener("change", told);
  };
}
