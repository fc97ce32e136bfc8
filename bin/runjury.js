#!/usr/bin/env node
import { main } from "../dist/bundle/main.js";

await main(process.argv);
