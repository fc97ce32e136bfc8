#!/usr/bin/env Rscript
# How often the moderated Welch test of judge-session.R (an engine of its own) finds a difference, and how often its
# interval lies within a margin, by simulation: what a planned comparison is held to. Writes planned-test.json.
#   Rscript test/reference/planned-test.R        (about 5 minutes)
file <- sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))
source(file.path(dirname(file), "json17.R")); source(file.path(dirname(file), "judge-session.R"))
set.seed(1947)

# One session: games of `units` values per config; true standard deviations of the games; all differ by `shift`
# standard errors. Drawn as normal samples come: means and chi-squared variances, independent of each other.
simulate <- function(units, sds, alpha, shift, sessions) {
  games <- length(sds); e <- units - 1; se <- sds * sqrt(2 / units); counted <- if (all(sds == sds[1])) seq_len(games) else 1
  drawn <- replicate(sessions, {
    x <- data.frame(nc = units, nb = units, mc = se * rnorm(games), mb = 0, vc = sds^2 * rchisq(games, e) / e, vb = sds^2 * rchisq(games, e) / e)
    # Values are percents of logs; the floor on variances means a hundredth of one, and is never reached.
    y <- compare_column(x, alpha); q <- qt(1 - alpha / 2, y$df); d <- x$mc
    prior <- if (games < 2) c(0, sds[1]^2) else unlist(fit_prior(y$u, y$nu))
    c(shows = mean((abs(d + shift * se) > q * y$se)[counted]), same = mean((abs(d) + q * y$se <= shift * se)[counted]), log_prior = log(prior[[2]] / sds[1]^2))
  })
  values <- rowMeans(drawn); errors <- apply(drawn, 1, sd) / sqrt(sessions)
  list(units = units, sds = I(sds), alpha = alpha, standardErrors = shift, shows = values[["shows"]], showsError = errors[["shows"]],
    same = values[["same"]], sameError = errors[["same"]], logPrior = values[["log_prior"]], logPriorError = errors[["log_prior"]])
}
cases <- list(
  list(3, rep(1, 2), .05, 4), list(4, rep(1, 2), .05, 3.5), list(6, rep(1, 2), .005, 4), list(3, rep(1, 4), .05, 3.5), list(3, rep(1, 8), .005, 4.5),
  list(5, rep(1, 4), .005, 4.5), list(4, rep(1, 16), .002, 4), list(8, rep(1, 8), .05, 2.5), list(12, rep(1, 3), .01, 3.5),
  list(5, c(1, 2, 2, 2), .05, 4), list(5, c(2, 1, 1, 1), .05, 3.5), list(8, c(1, .4, 2, 1, .7, 1.5), .01, 4), list(4, c(1, 3), .05, 5), list(20, c(3, 1, 1), .01, 3.5))
rows <- lapply(cases, function(one) simulate(one[[1]], one[[2]], one[[3]], one[[4]], 12000))
save_json17(file.path(dirname(file), "planned-test.json"), list(sessions = 12000, rows = rows))
