/** card.js: what is told of the part picked: its name and size, and when asked again its joints. */
import { button, element } from "./controls.js";
import { jointText } from "./words.js";

/**
 * @param {{joint: (joint: object) => void, close: () => void, list: () => void}} to
 * @returns {HTMLElement & {tell: (answer: object|null, id: string|null, listed: boolean) => void}}
 */
export function card(to) {
  const name = element("h3", { className: "v3d-name" });
  const size = element("p", { className: "v3d-size" });
  const list = element("ul", { className: "v3d-joints" });
  const more = button("Its joints", to.list, { className: "bare" });
  const close = button("\u00d7", to.close, { "aria-label": "Let go of the part", className: "bare v3d-close" });
  const made = element("div", { className: "v3d-card", role: "group", "aria-label": "The part picked" });
  made.append(element("div", { className: "v3d-head" }, name, close), size, more, list);
  made.hidden = true;

  const tell = (answer, id, listed) => {
    const part = answer && id ? answer.parts.find((each) => each.id === id) : null;
    made.hidden = !part;
    if (!part) return;
    const joints = jointsOf(answer, id);
    name.textContent = part.id;
    size.textContent = part.shown;
    more.hidden = listed || joints.length === 0;
    more.textContent = joints.length === 1 ? "Its joint" : `Its ${joints.length} joints`;
    list.hidden = !listed;
    list.replaceChildren(...(listed ? joints.map((joint) => row(joint, id)) : []));
    if (listed && joints.length === 0) list.append(element("li", {}, "It has no joints."));
  };
  const row = (joint, id) =>
    element("li", {}, button(jointText(joint, id), () => to.joint(joint), { className: "bare", "data-joint": joint.id }));
  return Object.assign(made, { tell });
}

/** @param {object} answer @param {string} id @returns {object[]} joints and fixings of a part */
export function jointsOf(answer, id) {
  return [...answer.joints, ...(answer.fixings || [])].filter((joint) => joint.part === id || joint.into === id);
}
