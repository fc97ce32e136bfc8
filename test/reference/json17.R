# Writes a list as JSON with 17 significant digits, enough to hold a double exactly.
# Scalars become numbers or words; wrap a vector in I() to keep it an array whatever its length.
json17 <- function(x, indent = "") {
  deeper <- paste0(indent, " ")
  if (is.null(x)) return("null")
  if (is.data.frame(x)) return(json17(lapply(seq_len(nrow(x)), function(i) as.list(x[i, , drop = FALSE])), indent))
  if (is.list(x)) {
    if (length(x) == 0) return(if (is.null(names(x))) "[]" else "{}")
    inner <- vapply(x, json17, "", indent = deeper)
    if (!is.null(names(x))) inner <- paste0("\"", names(x), "\": ", inner)
    ends <- if (is.null(names(x))) c("[", "]") else c("{", "}")
    return(paste0(ends[1], "\n", deeper, paste(inner, collapse = paste0(",\n", deeper)), "\n", indent, ends[2]))
  }
  number <- function(v) { short <- formatC(v, digits = 15, format = "g", width = 1); ifelse(is.finite(v) & suppressWarnings(as.numeric(short)) == v, short, formatC(v, digits = 17, format = "g", width = 1)) }
  word <- if (is.character(x)) paste0("\"", x, "\"") else if (is.logical(x)) tolower(as.character(x)) else number(as.numeric(x))
  word[if (is.numeric(x)) !is.finite(as.numeric(x)) else is.na(x)] <- "null"
  if (inherits(x, "AsIs") || length(x) != 1) paste0("[", paste(word, collapse = ", "), "]") else word
}
save_json17 <- function(file, x) writeLines(json17(c(list(versions = list(R = paste(R.version$major, R.version$minor, sep = "."))), x)), file)
