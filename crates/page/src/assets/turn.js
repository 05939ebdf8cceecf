// Turns the blade in 3D: reads the binary glTF that stands in the page and draws it by WebGL. Where there is none, the
// pictures stay.
(function () {
  'use strict';

  // Opens what a link leads to, and everything for the printer.
  function openTo(place) {
    var target = place.length > 1 && document.getElementById(decodeURIComponent(place.slice(1)));
    var details = target && target.closest('details');
    if (details && !details.open) {
      details.open = true;
      target.scrollIntoView();
    }
  }
  addEventListener('hashchange', function () { openTo(location.hash); });
  openTo(location.hash);
  addEventListener('beforeprint', function () {
    document.querySelectorAll('details').forEach(function (details) { details.open = true; });
  });

  var figure = document.getElementById('turn');
  var files = document.querySelectorAll('script.glb');
  if (!figure || !files.length) return;
  var live = figure.querySelector('.live');
  var still = figure.querySelector('.still');
  var canvas = figure.querySelector('canvas');
  var gl = canvas.getContext('webgl2', { antialias: true }) || canvas.getContext('webgl', { antialias: true });
  if (!gl) return;

  // Faces that meet at less than this angle (its cosine) are shaded as one round surface.
  var CREASE = Math.cos(35 * Math.PI / 180);
  // The angle of view across the longer way of the canvas: a long lens, so that the blade looks as it measures.
  var VIEW = 24 * Math.PI / 180;
  // Steps of the buttons and keys: 15 degrees, and a quarter nearer.
  var STEP = Math.PI / 12;
  var NEARER = 1.25;
  var START = { yaw: -0.2, roll: 0.15, zoom: 1, along: 0.5 };

  var state = Object.assign({}, START);
  var models = [];
  var shown = 0;
  var waiting = false;

  function bytesOf(script) {
    var text = atob(script.textContent.trim());
    var bytes = new Uint8Array(text.length);
    for (var i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
    return bytes;
  }

  // A binary glTF 2.0 file: its document and its one buffer.
  function read(bytes) {
    var view = new DataView(bytes.buffer);
    var length = view.getUint32(12, true);
    var text = new TextDecoder().decode(bytes.subarray(20, 20 + length));
    return { json: JSON.parse(text), data: bytes.slice(28 + length) };
  }

  function slice(file, number) {
    var view = file.json.bufferViews[number];
    return file.data.slice(view.byteOffset || 0, (view.byteOffset || 0) + view.byteLength);
  }

  function numbers(file, number) {
    var accessor = file.json.accessors[number];
    var view = file.json.bufferViews[accessor.bufferView];
    var begin = (view.byteOffset || 0) + (accessor.byteOffset || 0);
    var width = { SCALAR: 1, VEC2: 2, VEC3: 3 }[accessor.type];
    var Type = { 5121: Uint8Array, 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array }[accessor.componentType];
    return new Type(file.data.slice(begin, begin + accessor.count * width * Type.BYTES_PER_ELEMENT).buffer);
  }

  // Corners one after the other, each with place, normal and place in the picture.
  function corners(positions, places, indices) {
    var count = indices.length;
    var faces = new Float32Array(count);
    var around = new Map();
    var keys = new Array(count);
    var i, k, n;
    for (i = 0; i < count; i += 3) {
      n = normal(positions, indices[i], indices[i + 1], indices[i + 2]);
      faces.set(n, i);
      for (k = 0; k < 3; k++) {
        var at = 3 * indices[i + k];
        var key = positions[at] + ' ' + positions[at + 1] + ' ' + positions[at + 2];
        keys[i + k] = key;
        if (!around.has(key)) around.set(key, []);
        around.get(key).push(i);
      }
    }
    var out = new Float32Array(count * 8);
    for (i = 0; i < count; i++) {
      var own = i - i % 3;
      n = smooth(faces, own, around.get(keys[i]));
      var from = 3 * indices[i];
      out.set([positions[from], positions[from + 1], positions[from + 2], n[0], n[1], n[2]], 8 * i);
      if (places) out.set([places[2 * indices[i]], places[2 * indices[i] + 1]], 8 * i + 6);
    }
    return out;
  }

  // A triangle's normal, as long as twice its area.
  function normal(p, a, b, c) {
    a *= 3; b *= 3; c *= 3;
    var u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    var v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    return [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  }

  // The mean of the normals around a corner that meet its own without a crease.
  function smooth(faces, own, near) {
    var sum = [0, 0, 0];
    var length = Math.hypot(faces[own], faces[own + 1], faces[own + 2]);
    near.forEach(function (face) {
      var size = Math.hypot(faces[face], faces[face + 1], faces[face + 2]);
      var dot = faces[face] * faces[own] + faces[face + 1] * faces[own + 1] + faces[face + 2] * faces[own + 2];
      if (dot < CREASE * size * length) return;
      for (var k = 0; k < 3; k++) sum[k] += faces[face + k];
    });
    var whole = Math.hypot(sum[0], sum[1], sum[2]) || 1;
    return [sum[0] / whole, sum[1] / whole, sum[2] / whole];
  }

  // A file as buffers on the graphics card.
  function load(bytes) {
    var file = read(bytes);
    var model = { pieces: [], low: [1e9, 1e9, 1e9], high: [-1e9, -1e9, -1e9] };
    file.json.nodes.forEach(function (node) {
      file.json.meshes[node.mesh].primitives.forEach(function (primitive) {
        var positions = numbers(file, primitive.attributes.POSITION);
        var places = primitive.attributes.TEXCOORD_0 === undefined ? null : numbers(file, primitive.attributes.TEXCOORD_0);
        var indices = numbers(file, primitive.indices);
        for (var i = 0; i < positions.length; i++) {
          model.low[i % 3] = Math.min(model.low[i % 3], positions[i]);
          model.high[i % 3] = Math.max(model.high[i % 3], positions[i]);
        }
        var buffer = gl.createBuffer();
        gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
        gl.bufferData(gl.ARRAY_BUFFER, corners(positions, places, indices), gl.STATIC_DRAW);
        var metal = file.json.materials[primitive.material].pbrMetallicRoughness;
        var piece = { buffer: buffer, count: indices.length, colour: metal.baseColorFactor || [1, 1, 1, 1], texture: null };
        if (metal.baseColorTexture) picture(file, metal.baseColorTexture.index, piece);
        model.pieces.push(piece);
      });
    });
    return model;
  }

  // The picture on a piece, once it is decoded.
  function picture(file, number, piece) {
    var image = file.json.images[file.json.textures[number].source];
    var blob = new Blob([slice(file, image.bufferView)], { type: image.mimeType });
    createImageBitmap(blob, { premultiplyAlpha: 'none', colorSpaceConversion: 'none' }).then(function (bitmap) {
      piece.texture = gl.createTexture();
      gl.bindTexture(gl.TEXTURE_2D, piece.texture);
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, bitmap);
      var fine = typeof WebGL2RenderingContext !== 'undefined' && gl instanceof WebGL2RenderingContext;
      if (fine) gl.generateMipmap(gl.TEXTURE_2D);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, fine ? gl.LINEAR_MIPMAP_LINEAR : gl.LINEAR);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
      draw();
    });
  }

  var VERTEX = 'attribute vec3 place; attribute vec3 normal; attribute vec2 spot;' +
    'uniform mat3 turn; uniform vec3 middle; uniform vec3 lens; varying vec3 n; varying vec2 s;' +
    'void main() { vec3 p = turn * (place - middle); n = turn * normal; s = spot;' +
    ' float w = lens.z - p.z; gl_Position = vec4(p.x * lens.x, p.y * lens.y, 3.0 * (w - lens.z), w); }';
  var FRAGMENT = 'precision mediump float; varying vec3 n; varying vec2 s; uniform vec4 colour; uniform sampler2D skin;' +
    'uniform float skinned; void main() { vec3 m = normalize(n);' +
    ' vec3 base = mix(pow(colour.rgb, vec3(0.4545)), texture2D(skin, s).rgb, skinned);' +
    ' float key = max(dot(m, normalize(vec3(-0.4, 0.7, 0.8))), 0.0); float fill = max(dot(m, normalize(vec3(0.7, -0.3, 0.5))), 0.0);' +
    ' float shine = pow(max(dot(m, normalize(vec3(-0.25, 0.4, 1.0))), 0.0), 40.0);' +
    ' gl_FragColor = vec4(base * (0.5 + 0.55 * key + 0.25 * fill) + 0.1 * shine, 1.0); }';

  function shader(kind, text) {
    var made = gl.createShader(kind);
    gl.shaderSource(made, text);
    gl.compileShader(made);
    return made;
  }

  function link() {
    var made = gl.createProgram();
    gl.attachShader(made, shader(gl.VERTEX_SHADER, VERTEX));
    gl.attachShader(made, shader(gl.FRAGMENT_SHADER, FRAGMENT));
    ['place', 'normal', 'spot'].forEach(function (name, i) { gl.bindAttribLocation(made, i, name); });
    gl.linkProgram(made);
    return gl.getProgramParameter(made, gl.LINK_STATUS) ? made : null;
  }

  var program = link();
  if (!program) return;
  function uniform(name) { return gl.getUniformLocation(program, name); }
  var spots = { turn: uniform('turn'), middle: uniform('middle'), lens: uniform('lens'), colour: uniform('colour'), skinned: uniform('skinned') };

  // A turn about the blade's length, then about the upright; columns one after the other.
  function turned() {
    var a = Math.cos(state.yaw), b = Math.sin(state.yaw), c = Math.cos(state.roll), d = Math.sin(state.roll);
    return [a, 0, -b, b * d, c, a * d, b * c, -d, a * c];
  }

  function draw() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(function () {
      waiting = false;
      paint();
    });
  }

  function paint() {
    var model = models[shown];
    var dots = Math.min(window.devicePixelRatio || 1, 2);
    var width = Math.max(1, Math.round(canvas.clientWidth * dots)), height = Math.max(1, Math.round(canvas.clientHeight * dots));
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
    }
    gl.viewport(0, 0, width, height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.useProgram(program);
    var size = [0, 1, 2].map(function (k) { return model.high[k] - model.low[k]; });
    var middle = [0, 1, 2].map(function (k) { return 0.5 * (model.low[k] + model.high[k]); });
    // At the whole blade the middle stays; the nearer, the more the place along it counts.
    middle[0] += (state.along - 0.5) * size[0] * (1 - 1 / Math.max(1, state.zoom));
    var focal = 1 / Math.tan(0.5 * VIEW);
    var tall = Math.max(size[1], size[2]) * width / height;
    var far = 0.54 * Math.max(size[0], tall) * focal + 0.5 * size[2];
    gl.uniformMatrix3fv(spots.turn, false, turned());
    gl.uniform3fv(spots.middle, middle);
    gl.uniform3f(spots.lens, focal * state.zoom, focal * state.zoom * width / height, far);
    model.pieces.forEach(function (piece) {
      gl.bindBuffer(gl.ARRAY_BUFFER, piece.buffer);
      [[0, 3, 0], [1, 3, 12], [2, 2, 24]].forEach(function (part) {
        gl.enableVertexAttribArray(part[0]);
        gl.vertexAttribPointer(part[0], part[1], gl.FLOAT, false, 32, part[2]);
      });
      gl.uniform4fv(spots.colour, piece.texture ? [1, 1, 1, 1] : piece.colour);
      gl.uniform1f(spots.skinned, piece.texture ? 1 : 0);
      if (piece.texture) gl.bindTexture(gl.TEXTURE_2D, piece.texture);
      gl.drawArrays(gl.TRIANGLES, 0, piece.count);
    });
  }

  function zoom(times) { state.zoom = Math.min(12, Math.max(0.6, state.zoom * times)); }

  var hands = {
    left: function () { state.yaw -= STEP; },
    right: function () { state.yaw += STEP; },
    up: function () { state.roll -= STEP; },
    down: function () { state.roll += STEP; },
    near: function () { zoom(NEARER); },
    far: function () { zoom(1 / NEARER); },
    whole: function () { state = Object.assign({}, START); along.value = 50; }
  };
  function hand(name) {
    hands[name]();
    draw();
  }

  var along = figure.querySelector('.along input');
  along.addEventListener('input', function () {
    state.along = along.value / 100;
    if (state.zoom < 2) state.zoom = 3;
    draw();
  });

  live.addEventListener('click', function (event) {
    var button = event.target.closest('button');
    if (!button) return;
    if (button.dataset.hand) hand(button.dataset.hand);
    if (button.dataset.look) look(Number(button.dataset.look));
  });
  live.querySelector('.hands').addEventListener('keydown', function (event) {
    var name = { ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down', '+': 'near', '-': 'far', Home: 'whole' }[event.key];
    if (!name) return;
    event.preventDefault();
    hand(name);
  });

  function look(number) {
    if (!models[number]) models[number] = load(bytesOf(files[number]));
    shown = number;
    live.querySelectorAll('[data-look]').forEach(function (button) {
      button.setAttribute('aria-pressed', String(Number(button.dataset.look) === number));
    });
    draw();
  }

  // One finger or the mouse turns, two fingers come nearer.
  var fingers = new Map();
  function spread() {
    var all = Array.from(fingers.values());
    return Math.hypot(all[0].x - all[1].x, all[0].y - all[1].y);
  }
  canvas.addEventListener('pointerdown', function (event) {
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener('pointermove', function (event) {
    var finger = fingers.get(event.pointerId);
    if (!finger) return;
    var before = fingers.size === 2 ? spread() : 0;
    var dx = event.clientX - finger.x, dy = event.clientY - finger.y;
    finger.x = event.clientX;
    finger.y = event.clientY;
    if (fingers.size === 2) {
      zoom(spread() / Math.max(before, 1));
    } else {
      state.yaw += dx / 120;
      state.roll += dy / 120;
    }
    draw();
  });
  ['pointerup', 'pointercancel'].forEach(function (name) {
    canvas.addEventListener(name, function (event) { fingers.delete(event.pointerId); });
  });
  canvas.addEventListener('wheel', function (event) {
    // The wheel alone scrolls the page.
    if (!event.ctrlKey) return;
    event.preventDefault();
    zoom(Math.exp(-event.deltaY / 300));
    draw();
  }, { passive: false });
  canvas.addEventListener('webglcontextlost', function () {
    live.hidden = true;
    still.hidden = false;
  });
  addEventListener('resize', draw);

  live.hidden = false;
  still.hidden = true;
  look(0);
})();
