import { PNG } from "pngjs";
import { expect, test } from "vitest";

/** What the renderer's library would free once the garbage collector has found it. */
const held: { readonly ptr: unknown }[] = [];
class NotingRegistry<T> extends FinalizationRegistry<T> {
  override register(target: WeakKey, heldValue: T, token?: WeakKey): void {
    if (typeof heldValue === "object" && heldValue !== null && "ptr" in heldValue) held.push(heldValue);
    super.register(target, heldValue, token);
  }
}

test("a drawn picture leaves nothing that the garbage collector would free again, and can be drawn again", async () => {
  const usual = globalThis.FinalizationRegistry;
  globalThis.FinalizationRegistry = NotingRegistry;
  // The library asks for its registries when it is loaded.
  const { renderPng } = await import("../../src/paint/render-png.ts");
  globalThis.FinalizationRegistry = usual;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 4"><rect width="8" height="4" fill="#0063a8"/></svg>`;
  const size = { width: 8, height: 4 };
  const first = await renderPng(svg, size);
  expect([...PNG.sync.read(Buffer.from(first)).data.subarray(0, 4)]).toEqual([0x00, 0x63, 0xa8, 0xff]);
  expect(held.map(({ ptr }) => ptr)).toEqual([0]);
  expect(await renderPng(svg, size)).toEqual(first);
  expect(held.map(({ ptr }) => ptr)).toEqual([0, 0]);
});
