# Median pitch of each sound named in a list: lines of "hertz path".
form Pitch
    sentence List
endform
lines = Read Strings from raw text file: list$
n = Get number of strings
for i to n
    selectObject: lines
    line$ = Get string: i
    gap = index (line$, " ")
    hertz = number (left$ (line$, gap - 1))
    sound = Read from file: mid$ (line$, gap + 1, length (line$) - gap)
    pitch = To Pitch (ac): 0, 0.7 * hertz, 15, "yes", 0.03, 0.45, 0.01, 0.35, 0.14, 1.5 * hertz
    median = Get quantile: 0.1, 1.1, 0.5, "Hertz"
    appendInfoLine: fixed$ (median, 9)
    removeObject: sound, pitch
endfor
