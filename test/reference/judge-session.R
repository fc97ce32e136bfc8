# An engine of its own, in R, for the whole judgement: a pass table in, every figure out. It shares no code with
# src/ and calls R's own t, F, normal, chi-squared and p.adjust, limma's trigammaInverse and R's digamma.
#   source("judge-session.R"); judge_session(passes, baseline, ...)
# passes: data frame with game, config, pass, boot (or NA) and the metrics, in any order of rows.
FPS <- c("avgFps", "low1Fps", "low01Fps"); POWER <- c("cpuPowerW", "gpuPowerW", "fpsPerWatt", "joulesPerFrame")
ln <- function(x) ifelse(is.finite(x) & x > 0, log(ifelse(is.finite(x) & x > 0, x, 1)), NA)

# Which passes are set aside: moderated deleted residuals, tested inwards (Rosner 1983), slow side only.
screen_passes <- function(d) {
  cell <- interaction(d$game, d$config, drop = TRUE); y <- list(ln(d$avgFps), ln(d$low1Fps)); kept <- rep(TRUE, nrow(d)); p_min <- rep(NA_real_, nrow(d))
  family <- 0; for (v in y) for (i in split(seq_along(v), cell)) { n <- sum(!is.na(v[i])); if (n >= 3) family <- family + n }
  typical <- function(v) {
    s <- c(); for (i in split(seq_along(v), cell)) { x <- v[i][kept[i] & !is.na(v[i])]; if (length(x) >= 2) s <- c(s, max(var(x), 1e-8) / qf(.5, length(x) - 1, 3)) }
    if (length(s) < 3) NA else median(s)
  }
  one <- function(x, rest, S) { r <- length(rest); v <- if (r > 1) var(rest) else 0; f <- r - 1 + 3; s2 <- ((r - 1) * v + 3 * S) / f; c((x - mean(rest)) / sqrt(s2 * (1 + 1 / r)), f) }
  for (round in 1:20) {
    S <- sapply(y, typical); marked <- rep(FALSE, nrow(d)); p_min <- rep(NA_real_, nrow(d))
    for (k in 1:2) if (!is.na(S[k])) for (i in split(seq_along(y[[k]]), cell)) {
      i <- i[!is.na(y[[k]][i])]; n <- length(i); if (n < 3) next
      o <- i[order(y[[k]][i])]; x <- y[[k]][o]; K <- min(n - 2, floor((n - 1) / 2)); own <- rep(NA_real_, K); hit <- 0
      for (j in K:1) { tf <- one(x[j], x[(j + 1):n], S[k]); own[j] <- pt(tf[1], tf[2]); if (hit == 0 && own[j] * family <= .05) hit <- j }
      if (hit > 0) marked[o[1:hit]] <- TRUE
      for (j in 1:K) { p <- own[j]; if (j <= hit) p <- min(p, own[hit]); p_min[o[j]] <- min(p_min[o[j]], p * family, 1, na.rm = TRUE) }
    }
    disagree_left <- character(0)
    for (i in split(seq_len(nrow(d)), cell)) { left <- sum(!marked[i]); if (any(marked[i]) && (left < 2 || left <= length(i) / 2)) { marked[i] <- FALSE; disagree_left <- c(disagree_left, as.character(cell[i[1]])) } }
    before <- kept; kept <- kept & !marked; if (identical(before, kept)) break
  }
  fast <- rep(FALSE, nrow(d)); disagree <- as.character(cell) %in% disagree_left; pairs <- 0
  for (k in 1:2) if (!is.na(S[k])) for (i in split(seq_along(y[[k]]), cell)) { n <- sum(!is.na(y[[k]][i])); if (n == 2) pairs <- pairs + 1 }
  for (k in 1:2) if (!is.na(S[k])) for (i in split(seq_along(y[[k]]), cell)) {
    i <- i[!is.na(y[[k]][i])]; n <- length(i); x <- y[[k]][i]
    if (n >= 3) { h <- which.max(x); tf <- one(x[h], x[-h], S[k]); if (pt(tf[1], tf[2], lower.tail = FALSE) * family <= .05) fast[i[h]] <- TRUE }
    if (n == 2) if (2 * pt(-abs(diff(x)) / sqrt(2 * S[k]), 3) * pairs <= .05) disagree[cell == cell[i[1]]] <- TRUE
  }
  list(kept = kept, p = p_min, fast = fast, disagree = disagree, typicalVariance = S, family = family)
}

fit_prior <- function(u, nu) {
  u <- pmax(u, 1e-5 * median(u), 1e-8); K <- length(u)
  e <- log(u) - digamma(nu / 2) + log(nu / 2); raw <- var(e) - mean(trigamma(nu / 2))
  reg <- ((K - 1) * max(raw, 0) + 10 * trigamma(3 / 2)) / (K - 1 + 10)
  d0 <- 2 * limma::trigammaInverse(reg); list(d0 = d0, s02 = exp(mean(e) + digamma(d0 / 2) - log(d0 / 2)))
}

# One metric, one config against the baseline, over games: sections "difference" to "interval".
compare_column <- function(x, alpha) {
  sc <- pmax(x$vc, 1e-8); sb <- pmax(x$vb, 1e-8); c2 <- x$nc >= 2; b2 <- x$nb >= 2
  x$d <- x$mc - x$mb; x$h <- 1 / x$nc + 1 / x$nb
  v <- sc / x$nc + sb / x$nb
  x$u <- ifelse(c2 & b2, v / x$h, ifelse(c2, sc, ifelse(b2, sb, NA)))
  x$nu <- ifelse(c2 & b2, v^2 / ((sc / x$nc)^2 / (x$nc - 1) + (sb / x$nb)^2 / (x$nb - 1)), ifelse(c2, x$nc - 1, ifelse(b2, x$nb - 1, 0)))
  known <- x$nu > 0; K <- sum(known); x$d0 <- 0; x$up <- NA; x$df <- NA
  if (K == 1) { x$up <- x$u; x$df <- ifelse(known, x$nu, NA) }
  if (K >= 2) {
    pr <- fit_prior(x$u[known], x$nu[known]); uf <- pmax(x$u, 1e-5 * median(x$u[known]), 1e-8); total <- sum(x$nu[known]); x$d0 <- pr$d0
    x$up <- ifelse(known, (x$nu * uf + pr$d0 * pr$s02) / (x$nu + pr$d0), pr$s02); x$df <- pmin(x$nu + pr$d0, total)
  }
  x$se <- sqrt(x$up * x$h); x$p <- 2 * pt(-abs(x$d / x$se), x$df); q <- qt(1 - alpha / 2, x$df); x$low <- x$d - q * x$se; x$high <- x$d + q * x$se
  x
}
shift <- function(a, f, power) { q <- qt(1 - a / 2, f); q + qnorm(power) * sqrt(1 + q^2 / (2 * f)) }
word <- function(d, low, high, padj, alpha, delta) ifelse(is.na(padj), "unclear", ifelse(padj <= alpha, ifelse(d > 0, "higher", "lower"), ifelse(low >= -delta & high <= delta, "same", "unclear")))
pct <- function(x) 100 * (exp(x) - 1)

# Variance of a config's mean over games that its boots bring, and its degrees of freedom: the boots' effects in the additive
# model log ~ game + boot of the cells' boot means, when several games share boots.
boot_term <- function(d, cf, m, games) {
  x <- d[d$config == cf & d$game %in% games & !is.na(ln(d[[m]])), ]; y <- aggregate(list(y = ln(x[[m]])), list(game = x$game, boot = x$boot), mean)
  y$centred <- y$y - ave(y$y, y$game); shifts <- tapply(y$centred, y$boot, mean)
  if (length(shifts) < 2) NULL else c(var(as.numeric(shifts)) / length(shifts), length(shifts) - 1)
}
shares_boots <- function(d) any(tapply(d$game, paste(d$config, d$boot), function(g) length(unique(g))) > 1)

judge_once <- function(d, baseline, mattersPct, confidencePct, strict, by_boot) {
  alpha <- 1 - confidencePct / 100; delta <- log(1 + mattersPct / 100); rows <- list()
  for (m in intersect(c(FPS, POWER), names(d))) for (cf in setdiff(unique(d$config), baseline)) {
    cells <- function(g, cc) { i <- d$game == g & d$config == cc; y <- ln(d[[m]][i]); b <- d$boot[i][!is.na(y)]; y <- y[!is.na(y)]; if (by_boot) as.numeric(tapply(y, b, mean)) else y }
    x <- do.call(rbind, lapply(unique(d$game), function(g) { a <- cells(g, cf); b <- cells(g, baseline); if (length(a) == 0 || length(b) == 0) NULL else
      data.frame(game = g, config = cf, metric = m, nc = length(a), mc = mean(a), vc = if (length(a) > 1) var(a) else NA, nb = length(b), mb = mean(b), vb = if (length(b) > 1) var(b) else NA) }))
    if (!is.null(x)) rows[[length(rows) + 1]] <- compare_column(x, alpha)
  }
  out <- list(); suite <- list()
  for (group in list(FPS, POWER)) {
    cols <- Filter(function(x) x$metric[1] %in% group, rows); if (length(cols) == 0) next
    open <- lapply(cols, function(x) x$nc >= 2 & x$nb >= 2 & !is.na(x$p)); has <- sapply(open, any); m <- sum(has)
    bh <- Map(function(x, o) { r <- rep(NA_real_, nrow(x)); r[o] <- p.adjust(x$p[o], "BH"); r }, cols, open)
    simes <- sapply(seq_along(cols), function(i) if (has[i]) min(bh[[i]], na.rm = TRUE) else NA); sel <- !is.na(simes) & p.adjust(simes, "BH") <= alpha; k <- sum(sel)
    holm <- p.adjust(unlist(Map(function(x, o) ifelse(o, x$p, NA), cols, open)), "holm"); at <- 0
    for (i in seq_along(cols)) {
      x <- cols[[i]]; o <- open[[i]]; x$padj <- if (strict) holm[at + seq_len(nrow(x))] else pmin(1, bh[[i]] * m / max(1, k)); at <- at + nrow(x)
      x$verdict <- word(x$d, x$low, x$high, x$padj, alpha, delta)
      called <- x$verdict %in% c("higher", "lower"); x$size <- ifelse(called, ifelse(abs(x$d) >= delta, "notable", "slight"), NA)
      x$alphaEff <- ifelse(o, if (strict) alpha / (sum(!is.na(holm)) - (sum(holm <= alpha, na.rm = TRUE) - called)) else alpha * (k + !sel[i]) / m * (sum(called) + !called) / sum(o), NA)
      x$resolves <- NA; x$needed <- NA
      for (r in which(o)) {
        x$resolves[r] <- pct(shift(x$alphaEff[r], x$df[r], .8) * x$se[r])
        if (x$verdict[r] == "unclear") for (n in max(2, min(x$nc[r], x$nb[r]) + 1):100) { f <- 1.5 * (n - 1) + x$d0[r]; se <- sqrt(2 * x$up[r] / n); if (shift(x$alphaEff[r], f, .8) * se <= delta && shift(alpha, f, .9) * se <= delta) { x$needed[r] <- n; break } }
      }
      cols[[i]] <- x; out[[length(out) + 1]] <- x
    }
    ss <- list()
    for (x in cols) {
      s <- x[!is.na(x$se), ]; G <- nrow(s); if (G < 2) next
      V <- ifelse(s$nu > 0, s$u * s$h, s$up * s$h); f <- ifelse(s$nu > 0, s$nu, s$df); D <- mean(s$d)
      boots <- if (by_boot && shares_boots(d)) cbind(boot_term(d, x$config[1], x$metric[1], x$game), boot_term(d, baseline, x$metric[1], x$game)) else matrix(numeric(0), 2)
      summed <- function(v, df) { v <- c(v, boots[1, ]); df <- c(df, boots[2, ]); c(sqrt(sum(v)), sum(v)^2 / sum(v^2 / df)) }
      nN <- summed(V / G^2, f); seN <- nN[1]; fN <- nN[2]; these <- D + c(-1, 1) * qt(1 - alpha / 2, fN) * seN; pN <- 2 * pt(-abs(D) / seN, fN)
      if (G >= 3 && ncol(boots) > 0) { over <- summed(var(s$d) / G, G - 1); main <- D + c(-1, 1) * qt(1 - alpha / 2, over[2]) * over[1]; p <- 2 * pt(-abs(D) / over[1], over[2]) }
      else if (G >= 3) { tt <- t.test(s$d, conf.level = 1 - alpha); main <- as.numeric(tt$conf.int); p <- tt$p.value } else { main <- these; p <- pN }
      w <- 1 / V; z <- qnorm(pt(-abs(s$d - sum(w * s$d) / sum(w)) / sqrt(V), f)); A <- sum(z^2); pA <- pchisq(A, G - 1, lower.tail = FALSE)
      ss[[length(ss) + 1]] <- list(config = x$config[1], metric = x$metric[1], games = G, changePct = pct(D), lowPct = pct(main[1]), highPct = pct(main[2]), theseGamesLowPct = pct(these[1]), theseGamesHighPct = pct(these[2]), p = p, pAdjusted = NA, verdict = NA,
        counts = as.list(setNames(sapply(c("higher", "lower", "same", "unclear"), function(w) sum(x$verdict == w)), c("higher", "lower", "same", "unclear"))), gamesDiffer = list(verdict = pA <= alpha, p = pA, spreadPct = pct(sqrt(max(0, var(s$d) - mean(V))))), raw = c(D, main))
    }
    pa <- p.adjust(sapply(ss, function(s) s$p), "holm")
    for (i in seq_along(ss)) { s <- ss[[i]]; s$pAdjusted <- pa[i]; s$verdict <- word(s$raw[1], s$raw[2], s$raw[3], pa[i], alpha, delta); s$raw <- NULL; suite[[length(suite) + 1]] <- s }
  }
  list(rows = do.call(rbind, out), suite = suite)
}

judge_session <- function(passes, baseline, mattersPct = 3, confidencePct = 95, strict = FALSE, keepAll = FALSE, setAside = character(0)) {
  d <- passes; if (is.null(d$boot)) d$boot <- NA
  told <- !keepAll & paste(d$game, d$config, d$pass, sep = "/") %in% setAside; s <- screen_passes(d[!told, ])
  counted <- rep(FALSE, nrow(d)); counted[!told] <- if (keepAll) TRUE else s$kept
  boots <- function(x) all(!is.na(x$boot)) && all(tapply(x$boot, paste(x$game, x$config), function(b) length(unique(b))) >= 2)
  main <- judge_once(d[counted, ], baseline, mattersPct, confidencePct, strict, boots(d[counted, ]))
  all <- judge_once(d[!told, ], baseline, mattersPct, confidencePct, strict, boots(d[!told, ]))
  r <- main$rows; key <- function(x) paste(x$game, x$config, x$metric); w <- all$rows$verdict[match(key(r), key(all$rows))]
  full <- function(x) { v <- rep(NA, nrow(d)); v[!told] <- x; v }
  list(settings = list(baseline = baseline, mattersPct = mattersPct, confidencePct = confidencePct, falseAlarmControl = if (strict) "strict" else "columns", keepAll = keepAll, setAside = I(setAside)),
    passes = data.frame(game = d$game, config = d$config, pass = d$pass, counted = counted, screenP = full(s$p), unusuallyFast = full(s$fast), passesDisagree = full(s$disagree)),
    verdicts = data.frame(game = r$game, config = r$config, metric = r$metric, value = exp(r$mc), againstValue = exp(r$mb), changePct = pct(r$d), lowPct = pct(r$low), highPct = pct(r$high), p = r$p, pAdjusted = r$padj,
      verdict = r$verdict, size = r$size, resolvesPct = r$resolves, passesNeeded = r$needed, passes = r$nc, againstPasses = r$nb, holdsWithAllPasses = r$verdict == w),
    suite = main$suite)
}
