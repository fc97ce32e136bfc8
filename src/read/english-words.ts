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
    "zeit zeiten zeitpunkt tijd tiempo tempo czas doba cas zaman sure suresi ido aika час часу время χρονος 时间 時間 タイム 시간 czasu времени 時刻 타임",
  ],
  [
    "duration",
    "dauer duree durees duracion durata duracao duur trvani varaktighet varighed kesto длительность продолжительность тривалiсть 时长 時長 耗时 耗時",
  ],
  ["interval", "intervall intervalo intervalle intervallo interwal интервал 间隔 間隔 간격"],
  [
    "elapsed",
    "verstrichen vergangen abgelaufen ecoule transcurrido trascorso decorrido verstreken uplynulo verstrichene vergangene laufzeit прошло 经过 經過 経過 경과",
  ],
  ["timestamp", "zeitstempel horodatage tijdstempel tidsstampel 时间戳 時間戳 タイムスタンプ 타임스탬프"],
  ["stamp", "znacznik метка"],
  ["clock", "uhrzeit horloge"],
  [
    "average",
    "durchschnitt durchschnittlich durchschnittliche mittel mittelwert mittlere moyenne moyen promedio media medio srednia sredni gemiddelde medelvarde средний средняя среднее 平均 평균",
  ],
  ["total", "gesamt summe"],
  ["maximum", "maximal maximale maximo massimo максимум 最大 最高 최대 최고"],
  ["minimum", "minimal minimale minimo минимум 最小 最低 최소 최저"],
  [
    "cpu",
    "prozessor processeur procesador processore processador procesor procesora процессор процессора 处理器 處理器 プロセッサ 프로세서",
  ],
  [
    "gpu",
    "grafikkarte grafikkarten grafikprozessor grafik graphique видеокарта видеокарты 显卡 顯卡 グラフィックス 그래픽",
  ],
  [
    "power",
    "leistung leistungsaufnahme puissance potencia potenza мощность 功耗 功率 電力 消費電力 전력 소비전력",
  ],
  ["load", "auslastung carga carico obciazenie загрузка нагрузка 负载 負載 負荷 부하"],
  ["usage", "utilizzo utilizacao utilizacion 占用率 使用率 利用率 사용률 점유율"],
  ["latency", "latenz latence latencia latenza opoznienie задержка 延迟 延遲 遅延 지연"],
  ["temperature", "temperatur temperatura temperatuur температура 温度 溫度 온도"],
  ["clock", "takt taktfrequenz taktowanie クロック 클럭 클록"],
  ["frequency", "frequenz frequence frecuencia frequenza frequencia частота 频率 頻率 周波数 주파수"],
  ["w", "вт"],
  ["mhz", "мгц"],
  ["ghz", "ггц"],
  ["per", "pro par por za je в на"],
  ["number", "nummer numero numer номер 数 數 号 號 番号 序号 序號 번호"],
  ["row", "zeile ligne fila riga wiersz"],
  ["generation", "生成"],
  ["rate", "taxa tasa 率 レート 레이트 속도"],
  ["fps", "ips"],
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
  "nummer",
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

/**
 * Words that mean this only beside others: an "image" is a program, "temps" are temperatures, "tid" numbers a thread,
 * a "charge" is a battery's.
 */
const inCompany: readonly {
  readonly beside: ReadonlySet<string>;
  readonly means: ReadonlyMap<string, string>;
}[] = [
  {
    beside: new Set(["de", "d", "par", "entre", "ecoule", "trame", "trames", "duree", "s", "ms", "us", "ns"]),
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
  {
    beside: new Set(["secondo", "sekunde", "sekundy"]),
    means: new Map([
      ["al", "per"],
      ["na", "per"],
    ]),
  },
  {
    beside: new Set(["cpu", "gpu", "processeur", "graphique", "procesora"]),
    means: new Map([
      ["charge", "load"],
      ["uso", "usage"],
      ["consumo", "power"],
      ["moc", "power"],
    ]),
  },
];
