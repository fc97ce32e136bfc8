#!/usr/bin/env Rscript
# Reference values for planning: noncentral t (pt), power.t.test, Welch's exact power by integration, both levels of
# noise by lme4 (REML) and aov. Writes planning.json beside itself.
#   Rscript test/reference/planning.R
suppressPackageStartupMessages(library(lme4))
set.seed(2013)
file <- sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))
source(file.path(dirname(file), "json17.R"))

noncentral <- expand.grid(t = c(-2, 0, 0.5, 2, 5, 12), df = c(1, 2.5, 6, 30, 300), ncp = c(-3, 0.3, 2.9, 7, 20))
noncentral$p <- suppressWarnings(pt(noncentral$t, noncentral$df, noncentral$ncp))

power <- expand.grid(n = c(3, 5, 8, 20, 60), delta = c(0.5, 1, 2), alpha = c(0.05, 0.001))
power$power <- mapply(function(n, delta, alpha) power.t.test(n, delta, 1, alpha, strict = TRUE)$power, power$n, power$delta, power$alpha)

sizes <- expand.grid(delta = c(0.8, 1, 1.5, 2.5), alpha = c(0.05, 0.05 / 3), power = c(0.8, 0.9))
sizes$n <- mapply(function(delta, alpha, p) ceiling(power.t.test(delta = delta, sd = 1, sig.level = alpha, power = p, strict = TRUE)$n), sizes$delta, sizes$alpha, sizes$power)

# Welch's test of two equally noisy samples: given the share of the sum of variances that one of them measures, its
# degrees of freedom are fixed and the sum is chi-squared with 2 (n - 1); the share is beta distributed.
welch_power <- function(n, ncp, alpha) {
  e <- n - 1
  integrate(function(s) dbeta(s, e / 2, e / 2) * sapply(s, function(x) {
    q <- qt(1 - alpha / 2, e / (x^2 + (1 - x)^2))
    1 - pt(q, 2 * e, ncp) + pt(-q, 2 * e, ncp)
  }), 1e-9, 1 - 1e-9, rel.tol = 1e-6)$value
}
welch <- expand.grid(n = c(3, 4, 6, 12), ncp = c(2, 3.5, 5, 8), alpha = c(0.05, 0.005))
welch$power <- mapply(welch_power, welch$n, welch$ncp, welch$alpha)

levels_of <- function(sizes, boot_sd, pass_sd) {
  d <- data.frame(boot = rep(seq_along(sizes), sizes))
  d$avgFps <- signif(exp(log(90) + rnorm(length(sizes), 0, boot_sd)[d$boot] + rnorm(nrow(d), 0, pass_sd)), 8)
  d$y <- log(d$avgFps); d
}
balanced <- levels_of(rep(3, 6), .02, .01)
fit <- as.data.frame(VarCorr(lmer(y ~ 1 + (1 | boot), balanced)))
uneven <- levels_of(c(2, 5, 3, 4), .02, .01)
table <- summary(aov(y ~ factor(boot), uneven))[[1]]
n <- table(uneven$boot); n0 <- (sum(n) - sum(n^2) / sum(n)) / (length(n) - 1)

save_json17(file.path(dirname(file), "planning.json"), list(
  lme4 = as.character(packageVersion("lme4")),
  noncentral = noncentral, power = power, sizes = sizes, welch = welch,
  balanced = list(passes = balanced[c("boot", "avgFps")], boot = fit$vcov[1], pass = fit$vcov[2]),
  uneven = list(passes = uneven[c("boot", "avgFps")], boot = (table[["Mean Sq"]][1] - table[["Mean Sq"]][2]) / n0, pass = table[["Mean Sq"]][2])))
