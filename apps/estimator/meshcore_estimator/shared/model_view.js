// A piece of cloth that can be turned, cut and measured, drawn from the very file that is downloaded.
//
// The camera is orthographic, so the scale bar holds wherever the cloth is looked at. Where the
// section cuts, the inside of a wire is seen; wires are closed and do not run into one another, so
// the inside in one flat colour is the cut face.

const TURN = 5, ZOOM = 1.2, MOST_ZOOM = 40, LEAST_ZOOM = 0.5;
// Turn about the upright, and tilt [°]: the side is that on which a section's cut face lies.
const VIEWS = { aslant: [-35, 38], above: [0, 90], side: [0, 0], end: [-90, 0] };
const CUT_SHADE = 0.62;
// Half the picture's height, in sides of the piece.
const FRAME = 0.62;
const BAR_SHARE = 0.3;
const viewers = new WeakMap();

export default function ({ data, parentElement }) {
  let viewer = viewers.get(parentElement);
  if (!viewer) viewers.set(parentElement, (viewer = begin(parentElement)));
  viewer.show(data);
  return () => {
    viewer.end();
    viewers.delete(parentElement);
  };
}

function begin(parent) {
  const find = (name) => parent.querySelector(`[data-part="${name}"]`);
  const canvas = find("canvas"), said = find("said"), bar = find("bar"), length = find("length");
  const cut = find("cut"), at = find("at");
  const state = { view: [...VIEWS.aslant], zoom: 1, file: "", ended: false };
  let three, scene, camera, renderer, model, plane, pitch = 1, side = 1, due = 0;

  const fail = (why) => {
    said.textContent = `This browser shows no model (${why}). The drawing and the files hold the same cloth.`;
    canvas.hidden = true;
  };

  const start = async (base) => {
    three = await import(new URL(`${base}app/static/three.js`, window.location.origin).href);
    if (state.ended) return;
    renderer = new three.WebGLRenderer({ canvas, antialias: true, alpha: true });
    renderer.localClippingEnabled = true;
    scene = new three.Scene();
    camera = new three.OrthographicCamera();
    scene.add(new three.HemisphereLight(0xffffff, 0x8a9499, 1.9), camera);
    const lamp = new three.DirectionalLight(0xffffff, 2.2);
    lamp.position.set(-1, 2, 1.5);
    camera.add(lamp);
    plane = new three.Plane(new three.Vector3(0, 0, -1), 0);
    new ResizeObserver(draw).observe(canvas);
  };

  const take = async (file) => {
    const bytes = Uint8Array.from(atob(file), (sign) => sign.charCodeAt(0));
    const read = await new three.GLTFLoader().parseAsync(bytes.buffer, "");
    if (state.ended) return;
    drop();
    model = read.scene;
    const cloth = model.children[0];
    pitch = cloth.userData.pitch_m;
    side = pitch * cloth.children[0].children.length;
    for (const set of cloth.children) {
      const colour = set.children[0].material.color;
      find(set.name).style.background = `#${colour.getHexString()}`;
      for (const wire of [...set.children]) {
        wire.material.clippingPlanes = [plane];
        const inside = new three.Mesh(wire.geometry, new three.MeshBasicMaterial({
          color: wire.material.color.clone().multiplyScalar(CUT_SHADE),
          side: three.BackSide, clippingPlanes: [plane],
        }));
        inside.position.copy(wire.position);
        set.add(inside);
      }
    }
    scene.add(model);
    canvas.dataset.triangles = String(triangles());
  };

  const triangles = () => {
    let count = 0;
    model.traverse((one) => {
      if (one.isMesh && one.material.side !== three.BackSide) count += one.geometry.index.count / 3;
    });
    return count;
  };

  const drop = () => {
    if (!model) return;
    scene.remove(model);
    model.traverse((one) => {
      one.geometry?.dispose();
      one.material?.dispose();
    });
  };

  const place = () => {
    const way = cut.value, depth = Number(at.value);
    at.disabled = way === "none";
    at.max = String(side / pitch);
    at.setAttribute("aria-valuetext", `${depth} pitches in`);
    // The warp runs into the depth (-z), the shute to the right (x); what is in front is taken off.
    plane.normal.set(...(way === "warp" ? [1, 0, 0] : [0, 0, -1]));
    plane.constant = way === "none" ? side : side / 2 - depth * pitch;
  };

  const paint = () => {
    due = 0;
    if (!model || state.ended) return;
    const width = canvas.clientWidth, height = canvas.clientHeight;
    if (!width || !height) return;
    renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    renderer.setSize(width, height, false);
    place();
    const half = (side * FRAME) / state.zoom, wide = Math.max(width / height, 0.5);
    const reach = width < height ? half / wide : half;
    Object.assign(camera, {
      left: -reach * wide, right: reach * wide, top: reach, bottom: -reach,
      near: 0, far: 4 * side,
    });
    const [turn, tilt] = state.view.map((angle) => three.MathUtils.degToRad(angle));
    camera.position.set(
      Math.sin(turn) * Math.cos(tilt), Math.sin(tilt), Math.cos(turn) * Math.cos(tilt),
    ).multiplyScalar(2 * side);
    // Seen from straight above, "up" is away from who looks.
    camera.up.set(-Math.sin(turn) * Math.sin(tilt), Math.cos(tilt), -Math.cos(turn) * Math.sin(tilt));
    camera.lookAt(0, 0, 0);
    camera.updateProjectionMatrix();
    renderer.render(scene, camera);
    measure(width / (2 * reach * wide), width);
    Object.assign(canvas.dataset, {
      turn: String(state.view[0]), tilt: String(state.view[1]), zoom: state.zoom.toFixed(3),
      ready: "yes",
    });
  };

  const draw = () => {
    due ||= requestAnimationFrame(paint);
  };

  const measure = (pixelsPerMetre, width) => {
    const longest = (BAR_SHARE * width) / pixelsPerMetre;
    const decade = 10 ** Math.floor(Math.log10(longest));
    const size = decade * Math.max(...[1, 2, 5].filter((step) => step * decade <= longest));
    bar.style.width = `${size * pixelsPerMetre}px`;
    length.textContent = size < 9.99e-5
      ? `${Number((size * 1e6).toPrecision(3))} µm` : `${Number((size * 1e3).toPrecision(3))} mm`;
    bar.dataset.metres = size.toPrecision(3);
  };

  const turn = (across, up) => {
    state.view[0] = ((state.view[0] + across + 540) % 360) - 180;
    state.view[1] = Math.min(90, Math.max(-90, state.view[1] + up));
    draw();
  };
  const zoom = (factor) => {
    state.zoom = Math.min(MOST_ZOOM, Math.max(LEAST_ZOOM, state.zoom * factor));
    draw();
  };
  const view = (name) => {
    state.view = [...VIEWS[name === "side" && cut.value === "warp" ? "end" : name]];
    state.zoom = 1;
    draw();
  };
  const keys = {
    ArrowLeft: () => turn(-TURN, 0), ArrowRight: () => turn(TURN, 0),
    ArrowUp: () => turn(0, TURN), ArrowDown: () => turn(0, -TURN),
    "+": () => zoom(ZOOM), "=": () => zoom(ZOOM), "-": () => zoom(1 / ZOOM), Home: () => view("aslant"),
  };
  canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  });
  // A finger that moves up or down scrolls the page; sideways it turns the cloth.
  canvas.addEventListener("pointerdown", (event) => canvas.setPointerCapture(event.pointerId));
  canvas.addEventListener("pointermove", (event) => {
    if (canvas.hasPointerCapture(event.pointerId)) turn(-event.movementX * 0.5, event.movementY * 0.5);
  });
  canvas.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    zoom(event.deltaY < 0 ? ZOOM : 1 / ZOOM);
  }, { passive: false });
  for (const button of parent.querySelectorAll("button[data-view]")) {
    button.addEventListener("click", () => view(button.dataset.view));
  }
  find("nearer").addEventListener("click", () => zoom(ZOOM));
  find("farther").addEventListener("click", () => zoom(1 / ZOOM));
  cut.addEventListener("change", draw);
  at.addEventListener("input", draw);

  let started, last = Promise.resolve();
  return {
    show({ file, name, base }) {
      canvas.setAttribute("aria-label", name);
      if (file === state.file) return;
      state.file = file;
      delete canvas.dataset.ready;
      started ??= start(base);
      last = last.then(() => started).then(() => !state.ended && state.file === file && take(file))
        .then(draw).catch((error) => fail(error.message));
    },
    end() {
      state.ended = true;
      drop();
      renderer?.dispose();
      renderer?.forceContextLoss();
    },
  };
}
