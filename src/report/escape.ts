/**
 * Names and texts that come from files are untrusted: what could steer a terminal, reorder a line, break a table or
 * run in a spreadsheet is shown as text instead. The only place that escapes.
 */

// Control characters, format characters (bidirectional controls, zero-width characters, tags), lone surrogates, and the
// separators of lines and paragraphs.
const unsafe = /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/gu;

/** Text for one line of a terminal: unsafe characters become visible, such as "\x1b" or "\u{202e}". */
export function visible(text: string): string {
  return text.replace(unsafe, (character) => {
    const code = character.codePointAt(0) as number;
    if (character === "\n") return "\\n";
    if (character === "\r") return "\\r";
    if (character === "\t") return "\\t";
    const hex = code.toString(16);
    return code < 0x100 ? `\\x${hex.padStart(2, "0")}` : `\\u{${hex}}`;
  });
}

/** Text for a cell of a Markdown table or a line of Markdown: nothing in it is markup, links or HTML. */
export function markdownText(text: string): string {
  return visible(text)
    .replace(/[\\`*_[\]|~$]/g, "\\$&")
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/^(\s*)([-+=#])/, "$1\\$2")
    .replace(/^(\s*\d+)([.)]\s)/, "$1\\$2")
    .replace(/:\/\//g, ":&#47;&#47;")
    .replace(/@/g, "&#64;");
}

/** Text inside an element or a quoted attribute of HTML, SVG or XML: nothing in it is markup. */
export function markupText(text: string): string {
  return (
    visible(text)
      // Not allowed in XML even as references (XML 1.0, production 2).
      .replace(/[\ufffe\uffff]/g, "\ufffd")
      .replace(/&/g, "&amp;")
      .replace(/</g, "&lt;")
      .replace(/>/g, "&gt;")
      .replace(/"/g, "&quot;")
      .replace(/'/g, "&#39;")
  );
}

/** Text of a WebVTT cue or note: no tag, and never the arrow that would begin a cue. */
export function cueText(text: string): string {
  return visible(text).replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;");
}

// Where a cell begins: at the start, and behind a semicolon, at which spreadsheets of many countries split CSV as well.
// Figures behind a semicolon, as sentences have them, stay.
const formulaStart =
  /(?:^|(?<=;)(?!\s*[+-]\d+(?:\.\d+)?%?(?:[\s,;)]|$)))(?=[\s']*[=+\-@\uff1d\uff0b\uff0d\uff20])/g;

/**
 * Text for a cell that a spreadsheet may open: it is never taken for a formula.
 * @see OWASP, CSV Injection (from memory)
 */
export function spreadsheetText(text: string): string {
  return visible(text).replace(formulaStart, "'");
}

/** JSON text in which unsafe characters are escaped; it parses to the same values. */
export function escapeJson(json: string): string {
  return json.replace(unsafe, (character) => {
    // The line ends and indentation of the JSON itself.
    if (character === "\n") return character;
    return Array.from(
      { length: character.length },
      (_, i) => `\\u${character.charCodeAt(i).toString(16).padStart(4, "0")}`,
    ).join("");
  });
}
