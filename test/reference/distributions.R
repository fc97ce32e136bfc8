# Makes distributions.json: distribution functions and polygammas as computed by R.
#   Rscript distributions.R     (in this folder; needs limma for trigammaInverse)
source("json17.R")
lower <- c(1e-12, 1e-10, 1e-8, 1e-6, 1e-4, .001, .005, .025, .05, .2, .4)
df <- c(.5, .7, 1, 1.3, 2, 2.5, 3, 4.972, 8.1, 17.3, 30, 100.5, 1e3, 1e4 + .5, 1e6)
tq <- expand.grid(p = lower, df = df); tq$q <- qt(tq$p, tq$df)
up <- expand.grid(p = c(.6, .9, .975, .9875, .9995), df = df); up$q <- qt(up$p, up$df)
tc <- expand.grid(t = -c(.001, .1, .5, 1, 1.96, 2.5, 4, 7, 10, 20, 50), df = df); tc$p <- pt(tc$t, tc$df); tc <- tc[tc$p > 1e-290, ]
cu <- expand.grid(t = c(.3, 1, 2.2, 6), df = df); cu$p <- pt(cu$t, cu$df)
ch <- expand.grid(x = c(.01, .5, 1, 2, 3.84, 7, 15, 30, 60, 120), df = c(1, 2, 3, 5, 8, 15, 31)); ch$p <- pchisq(ch$x, ch$df, lower.tail = FALSE)
x <- c(-20, -10, -6, -4, -2.5, -1.96, -1, -.5, -.001, 0, .3, 1, 1.96, 3, 6)
pn <- c(1e-300, 1e-100, 1e-20, 1e-12, 1e-8, 1e-4, .001, .025, .05, .2, .4, .6, .8, .9, .975, .999)
d <- c(1, 2, 3, 4, 5, 6, 7, 8, 9, 12, 15, 24, 40, 100, 400)
g <- c(.01, .2, .5, 1, 1.5, 2.2, 2.5, 5.9, 6, 7, 9.99, 10, 40, 1234.5, 1e6)
y <- c(1e-8, 1e-6, 9e-7, 1e-3, .05, .3, .64493406684822644, .93480220054467931, 1.6449340668482264, 5, 50, 1e4, 1e6, 2e7, 1e8)
save_json17("distributions.json", list(
  computedBy = "stats::qt, pt, pchisq, pnorm, qnorm, qf; base digamma, trigamma, psigamma(x, 2); limma::trigammaInverse",
  tQuantile = rbind(tq, up), tCdf = rbind(tc, cu), chiSquareUpperTail = ch,
  normalCdf = data.frame(x = x, p = pnorm(x)), normalQuantile = data.frame(p = pn, x = qnorm(pn)),
  medianOfF = rbind(data.frame(d1 = d, d2 = 3, median = qf(.5, d, 3)), data.frame(d1 = c(2, 5, 10, 3.5), d2 = c(4, 5, 12, 7.25), median = qf(.5, c(2, 5, 10, 3.5), c(4, 5, 12, 7.25)))),
  polygamma = data.frame(x = g, digamma = digamma(g), trigamma = trigamma(g), tetragamma = psigamma(g, 2)),
  inverseTrigamma = data.frame(y = y, x = sapply(y, limma::trigammaInverse))))
