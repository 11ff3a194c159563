/** pick.js: what lies under a point of the picture: a part, and for measuring a corner, an edge or a face of it. */
import { Line3, Raycaster, Vector2, Vector3 } from "../vendor/three.min.js";

const CORNER = 11;
const EDGE = 8;

/**
 * @param {object} at {x, y, wide, high} in CSS pixels
 * @param {object} camera
 * @param {import("./parts.js").PartSet} parts
 * @param {import("./section.js").Section} section
 * @returns {{id: string, point: Vector3, normal: Vector3, shown: object}|null}
 */
export function partAt({ x, y, wide, high }, camera, parts, section) {
  const caster = new Raycaster();
  caster.setFromCamera(new Vector2((x / wide) * 2 - 1, 1 - (y / high) * 2), camera);
  const bodies = [...parts.byId.values()].map((shown) => shown.body);
  const hits = caster.intersectObjects(bodies, false);
  const hit = hits.find((each) => !section.hides(each.point));
  if (!hit) return null;
  const id = hit.object.parent.userData.part;
  const normal = hit.face.normal.clone().transformDirection(hit.object.matrixWorld);
  return { id, point: hit.point.clone(), normal, shown: parts.byId.get(id) };
}

/**
 * What of the part under a point is meant: a corner, else an edge, else the face.
 * @returns {{kind: string, point: Vector3, way: Vector3|null, id: string}}
 */
export function meantAt(hit, { x, y, wide, high }, camera) {
  const { edges } = hit.shown.shape.raw;
  const line = new Line3();
  const onScreen = (point) => {
    const flat = point.clone().project(camera);
    return Math.hypot(((flat.x + 1) / 2) * wide - x, ((1 - flat.y) / 2) * high - y);
  };
  let corner = { far: CORNER, point: null };
  let edge = { far: EDGE, point: null, way: null };
  for (let i = 0; i < edges.length; i += 6) {
    line.start.fromArray(edges, i).applyMatrix4(hit.shown.group.matrixWorld);
    line.end.fromArray(edges, i + 3).applyMatrix4(hit.shown.group.matrixWorld);
    for (const point of [line.start, line.end]) {
      const far = onScreen(point);
      if (far < corner.far) corner = { far, point: point.clone() };
    }
    const beside = line.closestPointToPoint(hit.point, true, new Vector3());
    const far = onScreen(beside);
    if (far < edge.far) edge = { far, point: beside, way: line.end.clone().sub(line.start).normalize() };
  }
  if (corner.point) return { kind: "corner", point: corner.point, way: null, id: hit.id };
  if (edge.point) return { kind: "edge", point: edge.point, way: edge.way, id: hit.id };
  return { kind: "face", point: hit.point, way: hit.normal, id: hit.id };
}
