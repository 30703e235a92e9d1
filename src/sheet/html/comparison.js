
'use strict';
/* What moves in the document: the slider between print and plate, and motifs that light up on both.
   Without this script both figures still stand there; its controls are hidden until it runs. */
(() => {
  const svgNamespace = 'http://www.w3.org/2000/svg';

  /* --- One over the other --- */

  function tellShare(range) {
    const share = Number(range.value);
    const print = `${share} % ${range.dataset.print}`;
    const plate = `${100 - share} % ${range.dataset.plate}`;
    range.setAttribute('aria-valuetext', `${print}, ${plate}`);
  }

  function setUpWipe(figure) {
    const range = figure.querySelector('input[type="range"]');
    const both = figure.querySelector('input.both');
    const flat = figure.querySelector('input.flat');
    const stage = figure.querySelector('.stage');

    function show() {
      figure.style.setProperty('--wipe', range.value);
      tellShare(range);
    }
    range.addEventListener('input', show);
    both.addEventListener('change', () => {
      figure.classList.toggle('together', both.checked);
      range.disabled = both.checked;
    });
    flat.addEventListener('change', () => {
      figure.classList.toggle('unbent', flat.checked);
      stage.querySelector('.laid').ariaHidden = String(flat.checked);
      stage.querySelector('.flat').ariaHidden = String(!flat.checked);
    });
    /* The figure itself can be wiped over, too; in a page that runs to the left from its right. */
    function follow(event) {
      if (range.disabled || !(event.buttons & 1)) return;
      const box = stage.getBoundingClientRect();
      const along = (event.clientX - box.left) / box.width;
      const fromStart = document.dir === 'rtl' ? 1 - along : along;
      range.value = Math.round(100 * fromStart);
      show();
    }
    stage.addEventListener('pointerdown', follow);
    stage.addEventListener('pointermove', follow);
    /* A browser that reloads the page may keep what was set. */
    show();
    for (const choice of [both, flat]) choice.dispatchEvent(new Event('change'));
    figure.querySelector('.controls').hidden = false;
  }

  /* --- Motifs --- */

  function make(name, attributes) {
    const element = document.createElementNS(svgNamespace, name);
    for (const key in attributes) element.setAttribute(key, attributes[key]);
    return element;
  }

  function boxOf(place) {
    const box = {};
    for (const key of ['x', 'y', 'width', 'height']) box[key] = place.getAttribute(key);
    return box;
  }

  /* A group of the drawing once more, within copies of the groups about it, for it stands in their
     frame and takes its lines' colour and width from them. */
  function repeat(group, drawing) {
    let copy = make('use', { href: `#${group.firstElementChild.id}` });
    for (let about = group.parentNode; about !== drawing.parentNode; about = about.parentNode) {
      const frame = about.cloneNode(false);
      frame.removeAttribute('id');
      frame.append(copy);
      copy = frame;
    }
    return copy;
  }

  /* Lights a motif of one figure: a veil over all, and the motif above it, its own lines where the
     drawing knows them, else (of a photograph, a scan, a tracing) all that lies in its place. */
  function light(figure, motif) {
    const svg = figure.querySelector('svg');
    const lamp = svg.querySelector('.lamp');
    const place = svg.querySelector(`.place[data-motif="${motif}"]`);
    lamp.replaceChildren();
    if (motif === null) return;
    const [x, y, width, height] = svg.getAttribute('viewBox').split(' ');
    lamp.append(make('rect', { class: 'veil', x, y, width, height }));
    if (!place) return;
    const id = figure.dataset.drawing;
    const drawing = document.getElementById(id);
    const groups = drawing.querySelectorAll(`[data-motif="${motif}"]`);
    for (const group of groups) lamp.append(repeat(group, drawing));
    if (groups.length === 0) {
      const clip = make('clipPath', { id: `window-${id}` });
      clip.append(make('rect', boxOf(place)));
      lamp.append(clip, make('use', { href: `#${id}`, 'clip-path': `url(#window-${id})` }));
    }
    lamp.append(make('rect', { class: 'ring about', rx: 1.5, ...boxOf(place) }));
    lamp.append(make('rect', { class: 'ring', rx: 1.5, ...boxOf(place) }));
  }

  /* What is pointed at or has the focus is lit for as long; what is chosen stays lit. */
  function setUpMotifs(section) {
    const figures = section.querySelectorAll('.drawn');
    const buttons = [...section.querySelectorAll('.motifs button')];
    const name = section.querySelector('.lit-name');
    const said = document.getElementById('said');
    let chosen = null;
    let pointed = null;
    let lit = null;

    const buttonOf = (motif) => buttons.find((button) => button.dataset.motif === motif);

    function show() {
      const wanted = pointed ?? chosen;
      for (const button of buttons)
        button.setAttribute('aria-pressed', String(button.dataset.motif === chosen));
      if (wanted === lit) return;
      lit = wanted;
      for (const figure of figures) light(figure, lit);
      for (const button of buttons) button.classList.toggle('lit', button.dataset.motif === lit);
      name.textContent = lit === null ? '' : buttonOf(lit).textContent;
    }
    function point(motif) {
      pointed = motif;
      show();
    }
    function choose(motif) {
      chosen = chosen === motif ? null : motif;
      pointed = null;
      show();
      said.textContent = name.textContent;
    }

    for (const button of buttons) {
      button.addEventListener('focus', () => point(button.dataset.motif));
      button.addEventListener('blur', () => point(null));
    }
    for (const item of section.querySelectorAll('.motifs button, .place')) {
      item.addEventListener('click', () => choose(item.dataset.motif));
      item.addEventListener('pointerenter', (event) => {
        if (event.pointerType === 'mouse') point(item.dataset.motif);
      });
      item.addEventListener('pointerleave', () => point(null));
    }
    document.addEventListener('keydown', (event) => {
      if (event.key !== 'Escape') return;
      chosen = null;
      point(null);
    });
  }

  for (const figure of document.querySelectorAll('.over')) setUpWipe(figure);
  for (const section of document.querySelectorAll('main > section')) setUpMotifs(section);
})();
