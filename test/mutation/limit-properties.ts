import fc from "fast-check";

// A mutant that a property notices is noticed early; one that it does not costs all its runs, thousands of times over.
fc.configureGlobal({ interruptAfterTimeLimit: 150 });
