/**
 * look.js: how the piece is drawn. Wood in quiet flat colour on paper, ink along the arrises, a little darker on end
 * grain. Colours come from the page's tokens; nothing here is a material of the real world.
 */
import { BackSide, DoubleSide, FrontSide, GreaterDepth, ShaderMaterial, Vector2, Vector3, Vector4 } from "../vendor/three.min.js";

const WOODS = [
  ["walnut", "#c3a586"],
  ["mahogany", "#d2a98c"],
  ["sapele", "#d0a68a"],
  ["cherry", "#e0bb9b"],
  ["teak", "#dcbf94"],
  ["iroko", "#dbbc90"],
  ["cedar", "#e4c6aa"],
  ["larch", "#ead2b0"],
  ["fir", "#ecd6b4"],
  ["pine", "#f0dfbd"],
  ["maple", "#f1e5cc"],
  ["ash", "#efe3c9"],
  ["beech", "#ead3b7"],
  ["oak", "#ebdabb"],
];
const PLAIN_WOOD = "#ecdabb";

/** @param {string} name of a wood @returns {string} a colour for it */
export function woodColour(name) {
  const words = (name || "").toLowerCase();
  const found = WOODS.find(([word]) => words.includes(word));
  return found ? found[1] : PLAIN_WOOD;
}

/** @param {string} text "#rrggbb" @returns {Vector3} the colour as it is written, 0 to 1 */
export function rgb(text) {
  const number = parseInt(text.slice(1), 16);
  return new Vector3((number >> 16) / 255, ((number >> 8) & 255) / 255, (number & 255) / 255);
}

/** @param {Element} element @returns {Record<string, Vector3>} the page's tokens as colours */
export function tokens(element) {
  const style = getComputedStyle(element);
  const token = (name, otherwise) => {
    const text = style.getPropertyValue(name).trim();
    return rgb(/^#[0-9a-f]{6}$/i.test(text) ? text : otherwise);
  };
  return {
    paper: token("--sheet", "#fffefb"),
    ink: token("--ink", "#1b1a18"),
    accent: token("--accent", "#34566f"),
    lit: token("--lit", "#c9d6df"),
  };
}

/** Uniforms that all materials share: the cut, the size of the canvas in pixels, the paper, how old the answer is. */
export function sharedUniforms(colours) {
  return {
    cut: { value: new Vector4(0, 0, 0, 1) },
    size: { value: new Vector2(1, 1) },
    dots: { value: 1 },
    paper: { value: colours.paper },
    ink: { value: colours.ink },
    old: { value: 0 },
  };
}

const CUT = "\n#ifdef CUT\n  if (dot(vAt, cut.xyz) > cut.w) discard;\n#endif\n";

const WOOD_VERTEX = `
uniform vec3 grain;
varying vec3 vAt;
varying vec3 vLook;
varying float vUp;
varying float vEnd;
void main() {
  vec4 at = modelMatrix * vec4(position, 1.0);
  vAt = at.xyz;
  vLook = normalMatrix * normal;
  vUp = (mat3(modelMatrix) * normal).z;
  vEnd = smoothstep(0.72, 0.95, abs(dot(normal, grain)));
  gl_Position = projectionMatrix * viewMatrix * at;
}`;

const WOOD_FRAGMENT = `
uniform vec3 wood;
uniform vec3 tint;
uniform vec3 paper;
uniform vec4 cut;
uniform float tinted;
uniform float pale;
uniform float old;
uniform float alpha;
varying vec3 vAt;
varying vec3 vLook;
varying float vUp;
varying float vEnd;
void main() {${CUT}
  vec3 look = normalize(vLook) * (gl_FrontFacing ? 1.0 : -1.0);
  float shade = 0.845 + 0.115 * dot(look, vec3(-0.42, 0.50, 0.757)) + 0.055 * vUp;
  vec3 colour = mix(wood, tint, tinted) * (shade - 0.085 * vEnd);
  gl_FragColor = vec4(mix(mix(colour, paper, pale), paper, old), alpha);
}`;

const LINE_VERTEX = `
uniform vec2 size;
uniform float dots;
uniform float wide;
uniform float lift;
attribute vec3 end;
attribute vec2 corner;
varying vec3 vAt;
varying float vFaint;
void main() {
  vFaint = step(1.5, corner.x);
  float along = corner.x - 2.0 * vFaint;
  vAt = (modelMatrix * vec4(mix(position, end, along), 1.0)).xyz;
  vec4 a = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
  vec4 b = projectionMatrix * modelViewMatrix * vec4(end, 1.0);
  vec2 way = (b.xy / b.w - a.xy / a.w) * size;
  float far = length(way);
  way = far > 1e-3 ? way / far : vec2(1.0, 0.0);
  vec4 at = mix(a, b, along);
  vec2 aside = (vec2(-way.y, way.x) * corner.y + way * (along * 2.0 - 1.0) * 0.7) * wide * dots * 0.5;
  at.xy += aside / size * 2.0 * at.w;
  at.z -= lift * at.w;
  gl_Position = at;
}`;

const LINE_FRAGMENT = `
uniform vec3 colour;
uniform vec3 paper;
uniform vec4 cut;
uniform float pale;
uniform float old;
uniform float alpha;
varying vec3 vAt;
varying float vFaint;
void main() {${CUT}
  vec3 drawn = mix(colour, paper, 0.5 * vFaint);
  gl_FragColor = vec4(mix(mix(drawn, paper, pale), paper, old), alpha * (1.0 - 0.4 * vFaint));
}`;

const HULL_VERTEX = `
uniform vec2 size;
uniform float dots;
uniform float wide;
varying vec3 vAt;
varying float vFaint;
void main() {
  vFaint = 0.0;
  vec4 at = modelMatrix * vec4(position, 1.0);
  vAt = at.xyz;
  vec4 place = projectionMatrix * viewMatrix * at;
  vec2 way = (projectionMatrix * vec4(normalMatrix * normal, 0.0)).xy * size;
  float far = length(way);
  if (far > 1e-6) place.xy += way / far * wide * dots / size * 2.0 * place.w;
  gl_Position = place;
}`;

const PLACE_VERTEX = `
varying vec3 vAt;
void main() {
  vec4 at = modelMatrix * vec4(position, 1.0);
  vAt = at.xyz;
  gl_Position = projectionMatrix * viewMatrix * at;
}`;

const NOTHING_FRAGMENT = `
uniform vec4 cut;
varying vec3 vAt;
void main() {${CUT}
  gl_FragColor = vec4(1.0);
}`;

const CAP_FRAGMENT = `
uniform vec3 wood;
uniform vec3 tint;
uniform vec3 ink;
uniform vec3 paper;
uniform float tinted;
uniform float pale;
uniform float old;
uniform float dots;
uniform float slope;
void main() {
  float far = abs(fract((gl_FragCoord.x + slope * gl_FragCoord.y) / (6.0 * dots * sqrt(1.0 + slope * slope))) - 0.5);
  float line = 1.0 - smoothstep(0.07, 0.2, far);
  vec3 ground = mix(mix(wood, ink, 0.1), tint, tinted * 0.8);
  vec3 colour = mix(ground, ink, 0.7 * line);
  gl_FragColor = vec4(mix(mix(colour, paper, pale), paper, old), 1.0);
}`;

/** @param {object} shared @param {object} own uniforms @param {object} rest of the material */
function material(shared, own, rest) {
  const uniforms = { ...shared };
  for (const [name, value] of Object.entries(own)) uniforms[name] = { value };
  return new ShaderMaterial({ uniforms, toneMapped: false, ...rest });
}

/** The wood of one part. @param {object} shared @param {Vector3} grain in the part's frame @param {Vector3} wood */
export function woodMaterial(shared, grain, wood) {
  return material(
    shared,
    { grain, wood, tint: new Vector3(), tinted: 0, pale: 0, alpha: 1 },
    {
      vertexShader: WOOD_VERTEX,
      fragmentShader: WOOD_FRAGMENT,
      side: FrontSide,
      polygonOffset: true,
      polygonOffsetFactor: 1.5,
      polygonOffsetUnits: 2,
    },
  );
}

/** Lines of a width in pixels. @param {object} shared @param {Vector3} colour @param {number} wide */
export function lineMaterial(shared, colour, wide) {
  return material(
    shared,
    { colour, wide, lift: 2e-4, pale: 0, alpha: 1 },
    { vertexShader: LINE_VERTEX, fragmentShader: LINE_FRAGMENT, side: DoubleSide },
  );
}

/** The same lines where wood in front hides them. @param {object} line the material of the lines */
export function hiddenMaterial(line) {
  const { colour, size, dots, cut, paper, old, pale } = line.uniforms;
  const uniforms = { colour, size, dots, cut, paper, old, pale };
  Object.assign(uniforms, { wide: { value: 1 }, lift: { value: 2e-4 }, alpha: { value: 0.45 } });
  return new ShaderMaterial({
    uniforms,
    toneMapped: false,
    vertexShader: LINE_VERTEX,
    fragmentShader: LINE_FRAGMENT,
    side: DoubleSide,
    transparent: true,
    depthWrite: false,
    depthFunc: GreaterDepth,
  });
}

/** The outline of round wood against what lies behind it. @param {object} shared @param {Vector3} colour */
export function hullMaterial(shared, colour) {
  return material(
    shared,
    { colour, wide: 0.75, pale: 0, alpha: 1 },
    {
      vertexShader: HULL_VERTEX,
      fragmentShader: LINE_FRAGMENT,
      side: BackSide,
      polygonOffset: true,
      polygonOffsetFactor: 2,
      polygonOffsetUnits: 8,
    },
  );
}

/** Counts wood behind the cut in the stencil. @param {object} shared @param {object} rest */
export function countMaterial(shared, rest) {
  return material(
    shared,
    {},
    {
      vertexShader: PLACE_VERTEX,
      fragmentShader: NOTHING_FRAGMENT,
      colorWrite: false,
      depthWrite: false,
      depthTest: false,
      ...rest,
    },
  );
}

/** The face of the cut, hatched. @param {object} shared @param {Vector3} wood @param {number} slope 1 or -1 */
export function capMaterial(shared, wood, slope) {
  return material(
    shared,
    { wood, tint: new Vector3(), tinted: 0, pale: 0, slope },
    { vertexShader: PLACE_VERTEX, fragmentShader: CAP_FRAGMENT, side: DoubleSide },
  );
}
