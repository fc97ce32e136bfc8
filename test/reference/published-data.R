# Makes published-data.json: data sets that come with R, and what R says about them.
#   Rscript published-data.R     (in this folder)
# morley: A. A. Michelson's 100 measurements of the speed of light, 1879; NIST StRD publishes them as "Michelso".
# faithful: eruptions of Old Faithful, the example of "An Introduction to R", section 8.2.
# sleep: "Student" 1908; the example of ?t.test.
source("json17.R")
t <- t.test(extra ~ group, data = sleep); a <- sleep$extra[sleep$group == 1]; b <- sleep$extra[sleep$group == 2]
# Interest rates on new-car loans in four cities: the worked example of SciPy's documentation of
# scipy.stats.alexandergovern, statistic 4.65087071883494, p 0.19922132490385214 (by Hill's approximation).
cities <- list(atlanta = c(13.75, 13.75, 13.5, 13.5, 13.0, 13.0, 13.0, 12.75, 12.5), chicago = c(14.25, 13.0, 12.75, 12.5, 12.5, 12.4, 12.3, 11.9, 11.9),
  houston = c(14.0, 14.0, 13.51, 13.5, 13.5, 13.25, 13.0, 12.5, 12.5), memphis = c(15.0, 14.0, 13.75, 13.59, 13.25, 12.97, 12.5, 12.25, 11.89))
m <- sapply(cities, mean); v <- sapply(cities, var) / lengths(cities); f <- lengths(cities) - 1; w <- 1 / v; z <- qnorm(pt(-abs(m - sum(w * m) / sum(w)) / sqrt(v), f))
fr <- c(.01, .001); set.seed(20240613)
frames <- round(c(exp(cumsum(rnorm(2500, 0, .02)) * .1 + log(7)) + (runif(2500) < .01) * rexp(2500, 1 / 9)), 3); s <- sort(frames, decreasing = TRUE)
save_json17("published-data.json", list(
  computedBy = "stats::quantile(type = 7), t.test, var, pt, qnorm, pchisq; datasets morley, faithful, sleep",
  michelson = I(morley$Speed / 1000 + 299), eruptions = I(faithful$eruptions),
  eruptionQuantiles = data.frame(p = c(0, .01, .1, .25, .5, .75, .9, .99, .999, 1), type7 = as.numeric(quantile(faithful$eruptions, c(0, .01, .1, .25, .5, .75, .9, .99, .999, 1)))),
  sleep = list(group1 = I(a), group2 = I(b), mean1 = mean(a), mean2 = mean(b), variance1 = var(a), variance2 = var(b), t = unname(t$statistic), df = unname(t$parameter), p = t$p.value, low = t$conf.int[1], high = t$conf.int[2]),
  cities = list(mean = I(unname(m)), variance = I(unname(v)), df = I(unname(f)), statistic = sum(z^2), p = pchisq(sum(z^2), 3, lower.tail = FALSE)),
  frames = list(frameTimesMs = I(frames), avgFps = 1000 * length(frames) / sum(frames), percentile = I(1000 / as.numeric(quantile(frames, 1 - fr))),
    tailAverage = I(sapply(fr, function(g) { k <- max(1, ceiling(g * length(s) - 1e-9)); 1000 * k / sum(s[1:k]) })), timeWeighted = I(sapply(fr, function(g) 1000 / s[which(cumsum(s) >= g * sum(s) * (1 - 1e-12))[1]])))))
