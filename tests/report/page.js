// What a test asks of a page, as one value. Evaluated in the page by the test, never part of it.
(() => {
  const shown = (element) => element.getClientRects().length > 0;
  const all = (selector) => [...document.querySelectorAll(selector)];
  const text = (element) => element.textContent.trim().replace(/\s+/g, " ");
  const luminance = (colour) => {
    const parts = colour.match(/[\d.]+/g).slice(0, 3).map(Number);
    const linear = parts.map((part) => {
      const share = part / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
  };
  const contrast = (one, other) => {
    const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  };
  const paper = getComputedStyle(document.body).backgroundColor;
  const width = document.documentElement.clientWidth;
  const pictures = all("figure > svg").filter(shown);
  const words = pictures.flatMap((picture) => {
    const frame = picture.getBoundingClientRect();
    return [...picture.querySelectorAll("text")].map((word) => {
      const at = word.getBoundingClientRect();
      const outside = at.left < frame.left - 2 || at.right > frame.right + 2
        || at.top < frame.top - 2 || at.bottom > frame.bottom + 2;
      return { picture: picture.id, text: text(word), at, outside };
    });
  });
  const overlaps = [];
  words.forEach((one, index) => words.slice(index + 1).forEach((other) => {
    const across = Math.min(one.at.right, other.at.right) - Math.max(one.at.left, other.at.left);
    const down = Math.min(one.at.bottom, other.at.bottom) - Math.max(one.at.top, other.at.top);
    // A line of type is taller than its letters.
    if (one.picture === other.picture && across > 1 && down > 5) {
      overlaps.push(`${one.picture}: ${one.text} on ${other.text}`);
    }
  }));
  const ids = all("[id]").map((element) => element.id);
  return {
    lang: document.documentElement.lang,
    headings: all("h1, h2, h3").map((heading) => heading.tagName + " " + text(heading)),
    scripts: all("script, iframe, object, embed, link, img[src]").length,
    handlers: all("*").filter((element) =>
      [...element.attributes].some((attribute) => attribute.name.startsWith("on"))).length,
    doubled: ids.filter((id, index) => ids.indexOf(id) !== index),
    scrollWidth: document.documentElement.scrollWidth,
    width,
    beyond: all("body *").filter((element) => shown(element) && !element.closest(".scroll *, svg *, .skip")
      && (element.getBoundingClientRect().right > width + 0.5 || element.getBoundingClientRect().left < -0.5))
      .map((element) => element.tagName + "." + element.className),
    wordsOutside: words.filter((word) => word.outside).map((word) => `${word.picture}: ${word.text}`),
    overlaps,
    smallest: Math.min(...words.map((word) => word.at.height)),
    faint: all("body *").filter((element) => {
      const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
      if (!own || !shown(element) || element.closest(".skip, desc, title")) return false;
      const style = getComputedStyle(element);
      return contrast(element.closest("svg") ? style.fill : style.color, paper) < 4.5;
    }).map((element) => element.tagName + " " + text(element).slice(0, 30)),
    faintLines: pictures.flatMap((picture) => [...picture.querySelectorAll(".line, .route, .course, .day, .barb")])
      .filter((line) => contrast(getComputedStyle(line).stroke, paper) < 3)
      .map((line) => line.getAttribute("class")),
    pictures: pictures.map((picture) => ({
      id: picture.id,
      role: picture.getAttribute("role"),
      name: picture.getAttribute("aria-labelledby").split(" ")
        .map((id) => text(document.getElementById(id))),
      words: [...picture.querySelectorAll("text")].map(text),
      bars: picture.querySelectorAll("rect.bar").length,
      routes: picture.querySelectorAll("path.route").length,
      courses: picture.querySelectorAll("path.course").length,
      lines: [...picture.querySelectorAll("path.route")].map((line) => line.getAttribute("d")),
      land: [...picture.querySelectorAll("path.land")].map((land) => land.getAttribute("d").length),
      barbs: [...picture.querySelectorAll("path.barb")].map((barb) => barb.getAttribute("d").length),
      height: picture.getBoundingClientRect().height,
    })),
    tables: all("table").map((table) => ({
      caption: text(table.caption),
      head: [...table.tHead.rows[0].cells].map(text),
      rows: [...table.tBodies].flatMap((body) => [...body.rows])
        .map((row) => [...row.cells].map(text)),
      scoped: [...table.querySelectorAll("th")].every((head) => head.scope),
    })),
    tallest: Math.max(...all("figure, tr, li, .facts, .warning, table.legs")
      .map((element) => element.getBoundingClientRect().height)),
    // Rows whose name takes four lines or more.
    broken: all("tbody th[scope=row]").filter((name) => {
      const range = document.createRange();
      range.selectNodeContents(name);
      const tops = [...range.getClientRects()].map((line) => Math.round(line.top));
      return new Set(tops).size > 3;
    }).map(text),
    said: text(document.querySelector("main")),
  };
})()
