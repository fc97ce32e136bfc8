/**
 * What the general words of a frame's time, of a clock, of a rate and of sensors are in other languages: logs are also
 * written in the language of whoever runs the machine. Accents are left out, as in `plainLetters`.
 */
const translations: readonly (readonly [english: string, words: string])[] = [
  [
    "frame",
    "bild bilder einzelbild einzelbilder beeld beelden trame trames fotograma fotogramas fotogramma fotogrammi cuadro cuadros quadro quadros klatka klatki klatek snimek snimku snimky billede billeder bilde ramme kadr kadru kadry kare kepkocka kehys ruudun кадр кадра кадру кадры кадров кадрiв καρε 帧 幀 フレーム コマ 프레임",
  ],
  [
    "time",
    "zeit zeiten zeitpunkt tijd tiempo tempo czas doba cas zaman sure suresi ido aika час часу время χρονος 时间 時間 タイム 시간",
  ],
  [
    "duration",
    "dauer duree durees duracion durata duracao duur trvani varaktighet varighed kesto длительность продолжительность тривалiсть 时长 時長",
  ],
  ["interval", "intervall intervalo intervalle intervallo interwal интервал 间隔 間隔 간격"],
  ["elapsed", "verstrichen vergangen abgelaufen ecoule transcurrido trascorso decorrido verstreken uplynulo"],
  ["timestamp", "zeitstempel horodatage tijdstempel tidsstampel"],
  ["clock", "uhrzeit horloge"],
  [
    "average",
    "durchschnitt durchschnittlich durchschnittliche mittel mittelwert mittlere moyenne moyen promedio media medio srednia sredni gemiddelde medelvarde средний средняя среднее 平均 평균",
  ],
  ["total", "gesamt summe"],
  ["cpu", "prozessor processeur procesador processore"],
  ["gpu", "grafikkarte grafikkarten grafikprozessor grafik"],
  ["power", "leistung leistungsaufnahme puissance potencia potenza"],
  ["load", "auslastung carga carico"],
  ["temperature", "temperatur temperatura"],
  ["clock", "takt taktfrequenz"],
  ["w", "вт"],
  ["mhz", "мгц"],
  ["ghz", "ггц"],
  ["per", "pro par por za je в на"],
  ["number", "nummer numero numer номер"],
  ["row", "zeile ligne fila riga wiersz"],
  ["generation", "生成"],
  ["rate", "taxa tasa частота 率"],
  [
    "s",
    "sekunde sekunden seconde secondes seconden segundo segundos secondo secondi sekunda sekundy sekunder сек секунда секунды секунд секунду 秒 초",
  ],
  [
    "ms",
    "millisekunde millisekunden milliseconde millisecondes milisegundo milisegundos millisecondo millisecondi milisekunda milisekundy мс миллисекунда миллисекунды миллисекунд 毫秒 ミリ秒 밀리초",
  ],
  [
    "us",
    "mikrosekunde mikrosekunden microseconde microsecondes microsegundo microsegundos mikrosekundy мкс 微秒 マイクロ秒",
  ],
  [
    "ns",
    "nanosekunde nanosekunden nanoseconde nanosecondes nanosegundo nanosegundos nanosekundy нс 纳秒 ナノ秒",
  ],
];

const english: ReadonlyMap<string, string> = new Map(
  translations.flatMap(([word, others]) =>
    others.split(" ").map((other) => [plainLetters(other), word] as const),
  ),
);

/** Those that are written together with others, as in "Bildzeit", or without any blank. */
export const foreignParts: readonly string[] = [
  "bild",
  "zeit",
  "dauer",
  "beeld",
  "tijd",
  "duur",
  "tid",
  "intervall",
  "prozessor",
  "grafikkarten",
  "grafik",
  "leistung",
  "leistungsaufnahme",
  "takt",
  "temperatur",
  "auslastung",
  ...[...english.keys()].filter((word) =>
    /^[\p{Script=Han}\p{Script=Katakana}ー\p{Script=Hangul}]+$/u.test(word),
  ),
];

/** Letters without their accents, so that a word is one word however it is typed. */
export function plainLetters(text: string): string {
  return text
    .normalize("NFD")
    .replace(/\p{Mn}/gu, "")
    .normalize("NFC");
}

/** The same words with those of other languages in English; words that are not listed stay as they are. */
export function inEnglish(words: readonly string[]): string[] {
  const found = inCompany.filter(({ beside }) => words.some((word) => beside.has(word)));
  return words.map((word) => {
    const known = found.find(({ means }) => means.has(word));
    return known?.means.get(word) ?? english.get(word) ?? word;
  });
}

/** Words that mean this only beside others: an "image" is a program, "temps" are temperatures, "tid" numbers a thread. */
const inCompany: readonly {
  readonly beside: ReadonlySet<string>;
  readonly means: ReadonlyMap<string, string>;
}[] = [
  {
    beside: new Set(["de", "d", "par", "entre", "ecoule", "trame", "trames", "duree"]),
    means: new Map([
      ["temps", "time"],
      ["image", "frame"],
      ["images", "frame"],
      ["entre", "between"],
    ]),
  },
  {
    beside: new Set(["bild", "billede", "bilde", "ramme"]),
    means: new Map([["tid", "time"]]),
  },
];
