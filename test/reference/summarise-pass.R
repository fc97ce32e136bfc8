#!/usr/bin/env Rscript
# Reference values for one pass: lows by three definitions, the trimmed window, time-weighted means of sensors.
# Base R (quantile type 7, cumsum, and integrate-free exact sums over approxfun's constant steps). Writes
# summarise-pass.json beside itself.
#   Rscript test/reference/summarise-pass.R
suppressPackageStartupMessages(library(jsonlite))
set.seed(2027)
file <- sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))

# 10,500 frames near 8 ms with stutters, in thousandths of a millisecond as logs print them.
ms <- round(8 + rgamma(10500, 2, 4) + ifelse(runif(10500) < .01, rexp(10500, .1), 0), 3)
lows <- function(x, f) {
  k <- max(1, ceiling(f * length(x) - 1e-9)); down <- sort(x, decreasing = TRUE)
  list(percentile = 1000 / unname(quantile(x, 1 - f, type = 7)), "tail-average" = 1000 * k / sum(down[1:k]),
       "time-weighted" = 1000 / down[which(cumsum(down) >= f * sum(x) * (1 - 1e-12))[1]])
}
summary_of <- function(x) list(frames = length(x), seconds = sum(x) / 1000, avgFps = 1000 * length(x) / sum(x), low1 = lows(x, .01), low01 = lows(x, .001))
end <- cumsum(ms) / 1000; start <- end - ms / 1000
inside <- function(from, keep) ms[start >= from - 1e-9 & end <= from + keep + 1e-9]

# A sensor that reports unevenly, pauses for nine seconds, and starts after the first frame. A step function by
# approxfun; its integral is exact on the grid of all steps and both ends of the window.
at <- round(sort(c(.7, .7 + cumsum(runif(60, .2, 1.6)))), 3); at <- at[at < 20 | at > 29]
watts <- round(55 + 10 * sin(at) + rnorm(length(at)), 1)
step_mean <- function(from, to) {
  f <- approxfun(at, watts, method = "constant", rule = 2, f = 0); grid <- sort(unique(c(from, to, at[at > from & at < to])))
  sum(f(head(grid, -1)) * diff(grid)) / (to - from)
}
writeLines(toJSON(list(
  about = "One pass: lows, window, sensor means", versions = list(R = as.character(getRversion())),
  frameTimesMs = ms, sensor = list(atS = at, values = watts),
  whole = c(summary_of(ms), list(watts = step_mean(0, end[length(end)]), meanOfReadings = mean(watts))),
  window = c(list(skipS = 12.5, keepS = 40), summary_of(inside(12.5, 40)), list(watts = step_mean(12.5, 52.5)))
), auto_unbox = TRUE, digits = I(17)), sub("\\.R$", ".json", file))
