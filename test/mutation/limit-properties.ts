import fc from "fast-check";

// A mutant that a property notices is noticed early; one that it does not costs all its runs, thousands of times over.
// That it is noticed is enough: no smaller example is looked for.
// A limit of time alone would end a property before its first run on a busy machine, and tell other mutants each time.
fc.configureGlobal({ numRuns: 25, seed: 1, interruptAfterTimeLimit: 2000, endOnFailure: true });
