/**
 * What Windows-1252 has where Latin-1 has control codes, for the bytes 0x80 to 0x9F.
 * @see https://encoding.spec.whatwg.org/#windows-1252, index-windows-1252.txt
 */
const between =
  "\u20ac\u0081\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u008d\u017d\u008f" +
  "\u0090\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u009d\u017e\u0178";

/**
 * Bytes of Latin-1 text, in which Windows-1252 is what is meant. Not left to TextDecoder: versions of Node differ in what
 * they make of these bytes, and one version does so between whole texts and pieces.
 */
export function decodeLatin1(bytes: Uint8Array): string {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString("latin1");
  return text.replace(/[\u0080-\u009f]/g, (character) => between.charAt(character.charCodeAt(0) - 0x80));
}
