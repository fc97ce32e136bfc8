# Makes sessions/*.json: whole sessions with awkward corners, pass table in, judgement out, by judge-session.R.
#   Rscript sessions.R     (in this folder; needs limma)
source("json17.R"); source("judge-session.R"); set.seed(20240612); dir.create("sessions", showWarnings = FALSE)
rr <- function(x) signif(x, 7)
cells <- function(game, config, n, level, sd = c(.006, .018, .045), watts = NA, boots = NA, boot_sd = 0) {
  b <- if (is.na(boots)) rep(NA, n) else paste0("boot-", (seq_len(n) - 1) %% boots + 1); shove <- if (is.na(boots)) 0 else rnorm(boots, 0, boot_sd)[(seq_len(n) - 1) %% boots + 1]
  d <- data.frame(game = game, config = config, pass = paste0("pass-", seq_len(n)), boot = b, avgFps = rr(level * exp(rnorm(n, shove, sd[1]))), low1Fps = rr(level * .68 * exp(rnorm(n, shove, sd[2]))), low01Fps = rr(level * .5 * exp(rnorm(n, shove, sd[3]))))
  d$cpuPowerW <- rr(watts * exp(rnorm(n, 0, .01))); d$fpsPerWatt <- rr(d$avgFps / d$cpuPowerW); d$joulesPerFrame <- rr(d$cpuPowerW / d$avgFps); d
}
save_session <- function(name, about, d, ...) {
  rownames(d) <- NULL; j <- judge_session(d, ...)
  if (all(is.na(d$cpuPowerW))) d[c("cpuPowerW", "fpsPerWatt", "joulesPerFrame")] <- NULL
  save_json17(file.path("sessions", paste0(name, ".json")), c(list(about = about, passTable = d), j))
  cat(name, nrow(d), "passes", sum(!j$passes$counted), "not counted;", table(j$verdicts$verdict), "\n")
}

# Unequal passes (1 to 6), absent cells, absent lows, a pass left out by hand, slow passes, a fast one, two that disagree.
games <- c("tide-runner", "moss-and-marrow", "hollow-parliament", "kestrel-cup", "ninth-lantern"); level <- c(220, 165, 103, 95, 190)
counts <- rbind(c(3, 4, 3, 2), c(5, 3, 1, 3), c(2, 2, 2, 2), c(1, 3, 0, 1), c(6, 5, 4, 3)); configs <- c("stock", "quiet-35w", "full-65w", "tuned")
d <- NULL; for (g in 1:5) for (k in 1:4) if (counts[g, k] > 0) d <- rbind(d, cells(games[g], configs[k], counts[g, k], level[g] * c(1, .97, 1.04, 1.001)[k], watts = c(54, 35, 65, 54)[k]))
at <- function(g, k, p) which(d$game == g & d$config == k & d$pass %in% paste0("pass-", p))
slow <- function(i, f) { d$avgFps[i] <<- rr(d$avgFps[i] * f[1]); d$low1Fps[i] <<- rr(d$low1Fps[i] * f[2]) }
slow(at("tide-runner", "quiet-35w", 2), c(.88, .7)); slow(at("ninth-lantern", "stock", 4), c(.9, .75)); slow(at("ninth-lantern", "stock", 5), c(.91, .74)); slow(at("hollow-parliament", "tuned", 1), c(.8, .6)); slow(at("moss-and-marrow", "stock", 5), c(1.12, 1.02))
d$low01Fps[c(at("tide-runner", "full-65w", 1), at("ninth-lantern", "tuned", 1:3))] <- NA
d$cpuPowerW[d$game == "kestrel-cup"] <- NA; d$fpsPerWatt[d$game == "kestrel-cup"] <- NA; d$joulesPerFrame[d$game == "kestrel-cup"] <- NA
uneven <- d; save_session("uneven", "Unequal passes from 1 to 6, absent cells and metrics, one pass left out by hand, slow passes, a fast one, two that disagree", d, baseline = "stock", setAside = "ninth-lantern/full-65w/pass-1")
save_session("uneven-strict", "The same session with Holm over everything, another baseline and 90% intervals", uneven, baseline = "tuned", setAside = "ninth-lantern/full-65w/pass-1", strict = TRUE, confidencePct = 90)
save_session("uneven-keep-all", "The same session with nothing set aside, and a wider margin", uneven, baseline = "stock", setAside = "ninth-lantern/full-65w/pass-1", keepAll = TRUE, mattersPct = 8)

# Eight passes a cell, three of them spoiled in one cell and hiding each other: the inward test must find all three.
d <- NULL; for (g in 1:3) for (k in 1:2) d <- rbind(d, cells(games[g], c("stock", "parked")[k], 8, level[g] * c(1, .985)[k]))
slow(at("tide-runner", "parked", 1), c(.93, .8)); slow(at("tide-runner", "parked", 4), c(.925, .79)); slow(at("tide-runner", "parked", 7), c(.935, .81))
save_session("three-hide-each-other", "Eight passes a cell, three of them spoiled in one cell", d, baseline = "stock")

# Most of a cell of four spoiled: nothing may be set aside there.
d <- NULL; for (g in 1:4) for (k in 1:2) d <- rbind(d, cells(games[g], c("stock", "parked")[k], if (g == 1 && k == 1) 3 else 4, level[g]))
slow(at("kestrel-cup", "parked", 2), c(.85, 1)); slow(at("kestrel-cup", "parked", 3), c(1, .6)); save_session("half-the-cell", "One pass slow on the average, another on the lows: setting both aside would leave only half of the cell", d, baseline = "stock")

# Every cell spans two boots, which differ.
d <- NULL; for (g in 1:4) for (k in 1:2) d <- rbind(d, cells(games[g], c("stock", "one-dimm")[k], 6, level[g] * c(1, .93)[k], boots = 3, boot_sd = .01))
save_session("three-boots", "Three boots in every cell, two passes each: the boot means are the units", d, baseline = "stock")

# A frame cap: cells without any spread, next to one that has some.
d <- NULL; for (g in 1:4) for (k in 1:3) d <- rbind(d, cells(games[g], configs[k], 3, if (g < 3) 144 else level[g] * c(1, .96, 1.05)[k], sd = if (g < 3) c(0, 0, .03) else c(.004, .012, .03)))
save_session("frame-cap", "Two of four games at a frame cap: no spread in average FPS and 1% low", d, baseline = "stock")

# One pass per cell: no noise estimate anywhere.
d <- NULL; for (g in 1:3) for (k in 1:2) d <- rbind(d, cells(games[g], configs[k], 1, level[g])); save_session("one-pass-each", "A single pass per cell: nothing can be told", d, baseline = "stock")
