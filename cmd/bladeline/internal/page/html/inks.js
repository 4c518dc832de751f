// The colours that inks are tinted in where several are seen: light, and never
// without the ink's name beside them.

const colours = [
  ["cyan", "#5db9dc"], ["magenta", "#dd86b4"], ["yellow", "#ecd44c"], ["black", "#5c5a57"],
  ["red", "#d8766c"], ["blue", "#7690d2"], ["green", "#76b88a"], ["orange", "#e6a062"], ["violet", "#a488cc"], ["purple", "#a488cc"],
  ["brown", "#ab8767"], ["pink", "#e3a3b4"], ["gold", "#c9b066"], ["silver", "#b4b4b4"], ["gray", "#9c9c9c"], ["grey", "#9c9c9c"], ["white", "#dedede"],
];

// inkColour is the colour that an ink's name says, else gray.
/** @type {(ink: string) => string} */
export function inkColour(ink) {
  const words = ink.toLowerCase().split(/[^a-z]+/);
  return colours.find(([name]) => words.includes(name))?.[1] ?? "#9c9c9c";
}

// tinted is a picture in gray, at an address, with an ink's colour where it is
// black, at an address of its own.
/** @type {(url: string, ink: string) => Promise<string>} */
export async function tinted(url, ink) {
  const picture = new Image();
  picture.src = url;
  await picture.decode();
  const canvas = new OffscreenCanvas(picture.width, picture.height), pen = canvas.getContext("2d");
  pen.drawImage(picture, 0, 0);
  pen.globalCompositeOperation = "screen"; // black takes the colour, white stays
  pen.fillStyle = inkColour(ink);
  pen.fillRect(0, 0, picture.width, picture.height);
  return URL.createObjectURL(await canvas.convertToBlob());
}
