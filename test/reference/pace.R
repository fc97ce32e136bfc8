# Writes pace.json: steadiness, change points and the shift test as base R and strucchange compute them.
# Rscript test/reference/pace.R
suppressMessages(library(strucchange))
source("test/reference/json17.R")
set.seed(20)

# Steadiness: 190 frames with stutters; blocks of 75, the last one filled up from before.
frames <- round(7 + rgamma(190, 2, 4), 3)
frames[c(20, 77, 78, 150, 188)] <- c(31.5, 18.25, 24.125, 60, 29)
block <- function(x) median(apply(matrix(apply(matrix(x, nrow = 5), 2, median), nrow = 5), 2, median))
medians <- c(block(frames[1:75]), block(frames[76:150]), block(frames[116:190]))
own <- medians[pmin(3, (seq_along(frames) - 1) %/% 75 + 1)]
steadiness <- list(
  framesMs = frames, medians = medians,
  stutterTimePct = 100 * sum(frames[frames > 2 * own]) / sum(frames),
  worstFrameMs = max(frames), meanStepMs = mean(abs(diff(frames)))
)

# Change points: the optimal partition for each number of changes (Bai & Perron 2003), the penalised best among them.
level <- rep(c(0, -4, 0.5, 0, 3, -1), c(25, 9, 30, 22, 14, 20))
values <- round(level + rnorm(length(level)), 4)
change <- function(penalty) {
  found <- breakpoints(values ~ 1, h = 2, breaks = 12)
  rss <- found$RSS.table
  best <- which.min(sapply(0:12, function(m) {
    points <- if (m == 0) integer(0) else breakpoints(found, breaks = m)$breakpoints
    points <- points[!is.na(points)]
    edges <- c(0, points, length(values))
    sum(sapply(seq_along(edges)[-1], function(i) {
      part <- values[(edges[i - 1] + 1):edges[i]]
      sum((part - mean(part))^2)
    })) + penalty * length(points)
  })) - 1
  points <- if (best == 0) integer(0) else breakpoints(found, breaks = best)$breakpoints
  list(penalty = penalty, starts = c(0, points))
}
changes <- lapply(c(3 * log(length(values)), 6, 60), change)

save_json17("test/reference/pace.json", list(
  strucchange = as.character(packageVersion("strucchange")),
  steadiness = steadiness, values = values, changes = changes
))
