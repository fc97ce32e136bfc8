#!/usr/bin/env Rscript
# Makes the files of fixtures/reference: worked inputs and outputs of published methods as computed by R.
#   Rscript make-reference.R OUTDIR 20240611
# Needs R (stats), limma, metafor, jsonlite. Values are printed with 15 significant digits.
suppressPackageStartupMessages({ library(limma); library(metafor); library(jsonlite) })
a <- commandArgs(TRUE); OUT <- a[1]; SEED <- as.integer(a[2]); dir.create(OUT, showWarnings = FALSE, recursive = TRUE)
set.seed(SEED)
ver <- list(R = paste(R.version$major, R.version$minor, sep = "."), limma = as.character(packageVersion("limma")), metafor = as.character(packageVersion("metafor")))
save_json <- function(name, about, by, cases, ...) {
  x <- c(list(about = about, computedBy = by, versions = ver, seed = SEED), list(...), list(cases = cases))
  writeLines(toJSON(x, auto_unbox = TRUE, digits = I(15), na = "null", null = "null", pretty = TRUE), file.path(OUT, name))
}
arrays <- function(l) lapply(l, function(v) if (is.atomic(v) && !is.character(v)) I(v) else v)   # keep length-one vectors as arrays
rr <- function(x, k = 5) signif(x, k)          # rounded inputs, so that a test can hold them exactly
obs <- function(n, mean, sd) rr(exp(rnorm(n, log(mean), sd)), 6)

# 1 ---- Welch on ln values
mk <- function(nx, ny, m1, m2, s1, s2) {
  x <- obs(nx, m1, s1); y <- obs(ny, m2, s2); t <- t.test(log(x), log(y)); t9 <- t.test(log(x), log(y), conf.level = .9)
  list(config = x, baseline = y, logDiff = unname(t$estimate[1] - t$estimate[2]), se = t$stderr, df = unname(t$parameter), t = unname(t$statistic), p = t$p.value,
       ci95 = as.numeric(t$conf.int), ci90 = as.numeric(t9$conf.int), ratio = exp(unname(t$estimate[1] - t$estimate[2])), changePct = 100 * (exp(unname(t$estimate[1] - t$estimate[2])) - 1))
}
save_json("welch.json", "Welch two-sample t on natural logarithms, config minus baseline", "stats::t.test(log(config), log(baseline))",
  list(mk(3, 3, 100, 97, .006, .006), mk(2, 2, 88, 90, .01, .02), mk(3, 5, 61.2, 60.4, .018, .05), mk(8, 4, 240, 250, .004, .012), mk(2, 6, 55, 55, .03, .01)))

# 2 ---- moderated variances (limma) and trigamma inverse
mv <- function(K, df, d0, zeros = 0) {
  sig2 <- if (is.infinite(d0)) rep(3e-4, K) else 3e-4 * d0 / rchisq(K, d0)
  v <- rr(sig2 * rchisq(K, pmax(df, 1)) / pmax(df, 1), 6); if (zeros) v[seq_len(zeros)] <- 0
  if (length(df) > 1) v[df == 0] <- 0
  f <- suppressWarnings(fitFDist(v, df)); s <- suppressWarnings(squeezeVar(v, df))
  list(variance = I(v), df = I(rep_len(df, K)), priorVariance = f$scale, priorDf = if (is.infinite(f$df2)) "Infinity" else f$df2, posteriorVariance = I(s$var.post))
}
xs <- c(1e-8, 1e-3, .05, .3, .644934066848226, .934802200544679, 1.644934066848226, 5, 50, 1e8)
save_json("moderated-variances.json", "Moment fit of a scaled F distribution and posterior variances (Smyth 2004), unregularised; 'Infinity' means the variances do not differ more than chance",
  "limma::fitFDist, limma::squeezeVar (robust=FALSE), limma::trigammaInverse, base digamma/trigamma",
  list(mv(6, 4, 4), mv(16, 4, 3), mv(48, 2, 4), mv(16, 8, Inf), mv(12, c(2, 2, 4, 4, 1, 3, 2, 8, 4, 4, 2, 6), 5), mv(10, c(4, 4, 0, 4, 4, 2, 0, 4, 4, 4), 4), mv(12, 4, 4, zeros = 2)),
  trigammaInverse = list(x = xs, y = sapply(xs, trigammaInverse)),
  digamma = list(x = c(.5, 1, 1.5, 2.2, 7, 40), y = digamma(c(.5, 1, 1.5, 2.2, 7, 40))), trigamma = list(x = c(.5, 1, 1.5, 2.2, 7, 40), y = trigamma(c(.5, 1, 1.5, 2.2, 7, 40))))

# 3 ---- this project's engine for one metric and one pair of configs
prior <- function(u, nu, w = 10, dp = 3) {
  ok <- nu > 0 & is.finite(u); x <- u[ok]; n <- nu[ok]; K <- length(x); x <- pmax(x, 1e-5 * median(x), 1e-8)
  e <- log(x) - digamma(n / 2) + log(n / 2); raw <- var(e) - mean(trigamma(n / 2))
  reg <- ((K - 1) * max(raw, 0) + w * trigamma(dp / 2)) / (K - 1 + w); d0 <- 2 * trigammaInverse(reg)
  if (w == 0 && raw > 0) { f <- fitFDist(x, n); stopifnot(abs(f$df2 / d0 - 1) < 1e-6) }
  list(e = e, raw = raw, reg = reg, d0 = d0, s02 = exp(mean(e) + digamma(d0 / 2) - log(d0 / 2)))
}
invisible(prior(c(1, 4, 2, .1, .6) * 1e-4, rep(4, 5), w = 0))
pairw <- function(G, nc, nb, spread, zero = FALSE) {
  nc <- rep_len(nc, G); nb <- rep_len(nb, G)
  sc <- rr((.018 * exp(rnorm(G, 0, spread)))^2 * rchisq(G, pmax(nc - 1, 1)) / pmax(nc - 1, 1), 6); sb <- rr((.018 * exp(rnorm(G, 0, spread)))^2 * rchisq(G, pmax(nb - 1, 1)) / pmax(nb - 1, 1), 6)
  if (zero) { sc[1] <- 0; sb[1] <- 0 }
  d <- rr(rnorm(G, .02, .03), 6); sc0 <- ifelse(nc > 1, sc, NA); sb0 <- ifelse(nb > 1, sb, NA)
  fc <- pmax(sc0, 1e-8); fb <- pmax(sb0, 1e-8); h <- 1 / nc + 1 / nb; v <- fc / nc + fb / nb
  both <- nc > 1 & nb > 1
  u <- ifelse(both, v / h, ifelse(nc > 1, fc, ifelse(nb > 1, fb, NA)))
  nu <- ifelse(both, v^2 / ((fc / nc)^2 / (nc - 1) + (fb / nb)^2 / (nb - 1)), ifelse(nc > 1, nc - 1, ifelse(nb > 1, nb - 1, 0)))
  known <- nu > 0; K <- sum(known); uf <- pmax(u, 1e-5 * median(u[known]), 1e-8)
  if (K >= 2) { pr <- prior(u, nu); up <- ifelse(known, (nu * uf + pr$d0 * pr$s02) / (nu + pr$d0), pr$s02); df <- pmin(nu + pr$d0, sum(nu[known])) }
  else { pr <- list(raw = NA, reg = NA, d0 = 0, s02 = NA); up <- ifelse(known, uf, NA); df <- ifelse(known, nu, NA) }
  se <- sqrt(up * h); q <- qt(.975, df)
  c(arrays(list(passes = nc, againstPasses = nb, variance = sc0, againstVariance = sb0, logDiff = d, pairVariance = u, pairDf = nu)), list(spreadRaw = pr$raw, spreadRegularised = pr$reg, priorDf = pr$d0, priorVariance = pr$s02),
       arrays(list(posteriorVariance = up, se = se, df = df, t = d / se, p = 2 * pt(-abs(d / se), df), low = d - q * se, high = d + q * se)))
}
save_json("pair-moderated-welch.json", "This project's own combination: pair variance, regularised prior, moderated standard error, test and 95% interval on the ln scale. pairDf 0: judged by the prior alone",
  "base R with limma::trigammaInverse; the unregularised prior agrees with limma::fitFDist (checked in the script)",
  list(pairw(16, 3, 3, .4), pairw(6, 2, 2, .3), pairw(3, 3, 3, .3), pairw(2, 3, 3, .3), pairw(1, 3, 3, .3), pairw(8, c(3, 5, 2, 3), c(3, 3, 4, 2), .4), pairw(6, c(3, 1, 3, 2, 1, 3), c(3, 3, 1, 2, 1, 3), .3), pairw(5, 3, 3, .3, zero = TRUE)))

# 4 ---- multiplicity
pv <- function(n, k) rr(c(rbeta(k, .3, 60), runif(n - k)), 5)
adj <- function(p) arrays(list(p = p, bh = p.adjust(p, "BH"), holm = p.adjust(p, "holm"), bonferroni = p.adjust(p, "bonferroni")))
cols <- function(cl, alpha = .05) {
  b <- lapply(cl, p.adjust, "BH"); s <- sapply(b, min, na.rm = TRUE); sb <- p.adjust(s, "BH"); k <- sum(sb <= alpha)
  list(alpha = alpha, columns = arrays(cl), bhWithin = arrays(b), simes = I(s), simesAdjusted = I(sb), selected = k, adjusted = arrays(lapply(b, function(z) pmin(1, z * length(cl) / max(1, k)))))
}
save_json("multiplicity.json", "p-value adjustment; 'columnCases': BH within each column, then multiplied by columns / columns selected (Benjamini & Bogomolov 2014)", "stats::p.adjust",
  list(adj(c(.01, .02, .03, .04, .05)), adj(c(.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344, .0459, .3240, .4262, .5719, .6528, .7590, 1)), adj(pv(16, 4)), adj(c(.04, .04, .04)), adj(.03)),
  columnCases = list(cols(list(pv(16, 6), pv(16, 1), pv(16, 0), pv(16, 3), pv(16, 0), pv(16, 0))), cols(list(pv(6, 0), pv(6, 0), pv(6, 0))), cols(list(.001, .2, .04, .5, .012, .9)), cols(list(pv(5, 3)))))

# 5 ---- equivalence
eq <- function(d, se, df, m) { dl <- log(1 + m / 100); list(logDiff = d, se = se, df = df, mattersPct = m, logMargin = dl, pLower = pt((d + dl) / se, df, lower.tail = FALSE), pUpper = pt((d - dl) / se, df),
  pTost = max(pt((d + dl) / se, df, lower.tail = FALSE), pt((d - dl) / se, df)), ci95 = d + c(-1, 1) * qt(.975, df) * se, ci90 = d + c(-1, 1) * qt(.95, df) * se, same95 = all(abs(d + c(-1, 1) * qt(.975, df) * se) <= dl), same90 = all(abs(d + c(-1, 1) * qt(.95, df) * se) <= dl)) }
save_json("equivalence.json", "Two one-sided tests on the ln scale with margin ln(1 + matters/100); same95 is this project's verdict (whole 95% interval inside), same90 the classical 5% TOST", "stats::pt, stats::qt",
  list(eq(.002, .005, 9.3, 3), eq(-.004, .012, 8, 3), eq(.021, .004, 11.5, 3), eq(0, .0135, 7.2, 3), eq(.0296, .003, 10, 3), eq(rr(rnorm(1, 0, .01)), rr(runif(1, .004, .012)), rr(runif(1, 4, 14)), 2)))

# 6 ---- outliers
gc <- expand.grid(n = 3:10, alpha = c(.05, .01)); gc$critical <- with(gc, { t <- qt(1 - alpha / (2 * n), n - 2); (n - 1) / sqrt(n) * sqrt(t^2 / (n - 2 + t^2)) })
gr <- function(x) { g <- abs(x - mean(x)) / sd(x); n <- length(x); G <- max(g); tt <- sqrt(n * (n - 2) * G^2 / ((n - 1)^2 - n * G^2)); list(x = x, G = G, index = which.max(g), p = min(1, 2 * n * pt(-tt, n - 2))) }
scr <- function(G, C, n, bad) {
  d <- expand.grid(pass = seq_len(n), config = paste0("c", seq_len(C)), game = paste0("g", seq_len(G)), stringsAsFactors = FALSE)[, 3:1]
  d$avg <- obs(nrow(d), 100, .006); d$low1 <- obs(nrow(d), 70, .018)
  i <- sample(nrow(d), bad); d$avg[i] <- rr(d$avg[i] * runif(bad, .86, .95), 6); d$low1[i] <- rr(d$low1[i] * runif(bad, .62, .85), 6)
  cell <- paste(d$game, d$config); rounds <- list(); keep <- rep(TRUE, nrow(d)); M <- 2 * sum(table(cell)[table(cell) >= 3])
  repeat {
    tests <- list(); S <- c(); badp <- rep(FALSE, nrow(d))
    for (k in 1:2) { v <- log(d[[c("avg", "low1")[k]]]); l <- split(v[keep], cell[keep]); l <- l[lengths(l) >= 2]
      S[k] <- s0 <- median(pmax(sapply(l, var), 1e-8) / qf(.5, lengths(l) - 1, 3))
      for (cl in unique(cell)) { i <- which(cell == cl); m <- length(i); if (m < 3) next; o <- i[order(v[i])]; x <- v[o]; hit <- 0
        for (j in seq(min(m - 2, (m - 1) %/% 2), 1)) { up <- x[(j + 1):m]; r <- m - j; df <- r + 2; s2 <- ((r - 1) * var(up) + 3 * s0) / df; t <- (x[j] - mean(up)) / sqrt(s2 * (1 + 1 / r)); p <- pt(t, df)
          if (p * M < .5) tests[[length(tests) + 1]] <- list(metric = c("avg", "low1")[k], row = o[j], lowest = j, above = r, t = t, df = df, p = p, pAdjusted = min(1, p * M))
          if (!hit && p * M <= .05) hit <- j }
        if (hit) badp[o[seq_len(hit)]] <- TRUE } }
    for (cl in unique(cell)) { i <- which(cell == cl); left <- sum(!badp[i]); if (left < 2 || left <= length(i) / 2) badp[i] <- FALSE }
    new <- keep & !badp; rounds[[length(rounds) + 1]] <- list(typicalVariance = S, family = M, tests = tests, setAside = I(which(badp)))
    if (identical(new, keep)) break; keep <- new
  }
  list(passes = d, rounds = rounds, setAside = I(which(!keep)))
}
save_json("outliers.json", "Grubbs critical values and tests; medians of F(d, 3); the pass screen of this project round by round (rows count from 1; typicalVariance: avg, low1; tests with adjusted p below 0.5 are listed; only slow passes are set aside)", "stats::qt, stats::qf, stats::pt",
  list(scr(6, 3, 3, 3), scr(4, 2, 5, 4)), grubbsCritical = gc, grubbs = list(gr(c(199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)), gr(rr(rnorm(5, 60, 1))), gr(c(60, 60.1, 51))),
  medianOfF = list(d = 1:9, d2 = 3, median = qf(.5, 1:9, 3)))

# 7 ---- random effects, heterogeneity, suite
ag <- function(d, v, f) { w <- 1 / v; mu <- sum(w * d) / sum(w); t <- (d - mu) / sqrt(v); z <- -qnorm(pt(-abs(t), f)); list(center = mu, t = t, z = z, statistic = sum(z^2), df = length(d) - 1, p = pchisq(sum(z^2), length(d) - 1, lower.tail = FALSE)) }
re <- function(y, v, f) {
  one <- function(m, t) { r <- rma(y, v, method = m, test = t); list(method = m, test = t, estimate = as.numeric(r$b), se = r$se, low = r$ci.lb, high = r$ci.ub, p = r$pval, tau2 = r$tau2, I2 = r$I2, H2 = r$H2, Q = r$QE, Qp = r$QEp) }
  G <- length(y); mF <- sqrt(sum(v)) / G; dF <- sum(v)^2 / sum(v^2 / f); tt <- t.test(y); hwN <- qt(.975, dF) * mF
  list(logDiff = y, variance = v, df = f, suite = list(mean = mean(y), games = list(se = unname(tt$stderr), df = G - 1, low = tt$conf.int[1], high = tt$conf.int[2], p = tt$p.value),
      theseGames = list(se = mF, df = dF, low = mean(y) - hwN, high = mean(y) + hwN, p = 2 * pt(-abs(mean(y)) / mF, dF)), gamesDiffer = ag(y, v, f), tau2 = max(0, var(y) - mean(v)), tau = sqrt(max(0, var(y) - mean(v)))),
    models = list(one("DL", "z"), one("DL", "knha"), one("REML", "knha"), one("PM", "knha"), one("HE", "knha"), one("REML", "adhoc"), one("EE", "z")))
}
mkre <- function(G, tau, s) re(rr(rnorm(G, .01, tau) + rnorm(G, 0, s), 6), rr(s^2 * rchisq(G, 4) / 4, 6), rr(runif(G, 2, 4), 4))
dat <- lapply(1:5, function(i) obs(c(3, 4, 3, 5, 2)[i], c(60, 61, 60, 64, 60)[i], c(.01, .02, .01, .015, .01)[i])); gg <- factor(rep(1:5, lengths(dat))); ot <- oneway.test(log(unlist(dat)) ~ gg)
save_json("random-effects.json", "The suite: one-sample t over games (main), noise-only interval, Alexander-Govern test with exact normal scores; and, for comparison, random-effects models", "stats::t.test, stats::pt/qnorm/pchisq, metafor::rma, stats::oneway.test",
  list(mkre(16, .03, .012), mkre(6, 0, .012), mkre(6, .02, .006), mkre(3, .01, .01)),
  welchAnova = list(groups = dat, logMeans = sapply(dat, function(x) mean(log(x))), logVariances = sapply(dat, function(x) var(log(x))), F = unname(ot$statistic), df1 = unname(ot$parameter[1]), df2 = unname(ot$parameter[2]), p = ot$p.value))

# 8 ---- quantiles and lows
qs <- function(x, pr) list(x = I(x), probs = pr, types = lapply(1:9, function(t) list(type = t, values = as.numeric(quantile(x, pr, type = t)))))
lows <- function(ft) { N <- length(ft); s <- sort(ft, decreasing = TRUE); tot <- sum(s)
  tail <- function(f) { k <- max(1, ceiling(f * N - 1e-9)); 1000 * k / sum(s[1:k]) }; tw <- function(f) 1000 / s[which(cumsum(s) >= f * tot - 1e-12 * tot)[1]]
  list(frameTimeMs = ft, avgFps = 1000 * N / sum(ft), meanOfInstantaneousFps = mean(1000 / ft), percentile = list(low1 = 1000 / as.numeric(quantile(ft, .99)), low01 = 1000 / as.numeric(quantile(ft, .999))), percentileOfFps = list(low1 = as.numeric(quantile(1000 / ft, .01)), low01 = as.numeric(quantile(1000 / ft, .001))),
    tailAverage = list(low1 = tail(.01), low01 = tail(.001)), timeWeighted = list(low1 = tw(.01), low01 = tw(.001))) }
ft1 <- round(exp(rnorm(300, log(8.3), .15)) + (runif(300) < .02) * rexp(300, 1 / 12), 2); ft2 <- c(rep(10, 99), 50); ft3 <- round(rexp(40, 1 / 6) + 6, 1)
m <- c(60, 72, 48)
save_json("quantiles.json", "Sample quantiles of the nine Hyndman-Fan types; lows of frame-time series under the three definitions; means of rates", "stats::quantile(type=1..9)",
  list(qs(c(16.6, 16.7, 16.9, 17.1, 16.8, 33.4, 16.6, 20.2, 16.7, 50.1), c(.01, .05, .5, .95, .99, .999)), qs(ft3, c(.001, .01, .25, .5, .99, .999)), qs(c(5, 1), c(0, .1, .5, .99, 1)), qs(7.5, c(.01, .99))),
  lows = list(lows(ft1), lows(ft2), lows(ft3)), means = list(x = m, arithmetic = mean(m), harmonic = 1 / mean(1 / m), geometric = exp(mean(log(m))), median = median(m)))

# 9 ---- power and planning
shift <- function(a, nu, power) { t <- qt(1 - a / 2, nu); t + qnorm(power) * sqrt(1 + t^2 / (2 * nu)) }
exact <- function(a, nu, power) uniroot(function(x) pt(qt(1 - a / 2, nu), nu, ncp = x, lower.tail = FALSE) - power, c(0, 40))$root
pw <- function(n, d, s, alpha) { r <- power.t.test(n = n, delta = d, sd = s, sig.level = alpha, strict = TRUE); list(n = n, delta = d, sd = s, alpha = alpha, power = r$power) }
need <- function(sd, d, alpha, p) { r <- power.t.test(delta = d, sd = sd, sig.level = alpha, power = p, strict = TRUE); list(delta = d, sd = sd, alpha = alpha, power = p, n = r$n) }
plan <- function(u, d0, alphaEff, matters, cur) { dl <- log(1 + matters / 100); ans <- NA; rows <- list()
  for (n in 2:100) { nu <- 1.5 * (n - 1) + d0; se <- sqrt(u * 2 / n); det <- shift(alphaEff, nu, .8) * se; sam <- shift(.05, nu, .9) * se; if (n <= 4) rows[[n - 1]] <- list(n = n, df = nu, se = se, detects = det, same = sam); if (is.na(ans) && det <= dl && sam <= dl) ans <- n }
  list(posteriorVariance = u, priorDf = d0, alphaEff = alphaEff, mattersPct = matters, smallestN = ans, first = rows) }
resolves <- function(se, df, a) list(se = se, df = df, alphaEff = a, shift = shift(a, df, .8), exactShift = exact(a, df, .8), logDifference = shift(a, df, .8) * se, resolvesPct = 100 * (exp(shift(a, df, .8) * se) - 1))
save_json("power.json", "Power of the two-sample t test (noncentral t, both tails), and the planning formulas of this project; exactShift is the noncentral-t value that shift approximates", "stats::power.t.test(strict=TRUE), stats::qt",
  list(pw(3, .03, .01, .05), pw(5, .03, .018, .05), pw(4, .02, .006, .01), need(.018, .03, .05, .8), need(.006, .01, .05, .9)),
  resolves = list(resolves(.0049, 8.1, .05), resolves(.0147, 7.4, .05 / 16), resolves(rr(runif(1, .004, .02)), rr(runif(1, 5, 12)), .05 / 6)),
  passesNeeded = list(plan(.006^2, 4, .05, 3), plan(.018^2, 4, .05 / 6, 3), plan(.018^2, 3.2, .05, 5), plan(.045^2, 5, .05, 3)))
cat("written", OUT, "\n")
