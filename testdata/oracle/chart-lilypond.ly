% Makes chart-lilypond.jsonl: what LilyPond's chord mode has for the chords that charts
% write, in the spellings that they have. The chart tests hold ours against it.
%
%   lilypond -dno-print-pages --loglevel=WARN chart-lilypond.ly > chart-lilypond.jsonl
%
% The spelling is the charts', the tones are LilyPond's, as letters from the lowest.

\version "2.24.0"

#(define (note->string p)
  (let ((alter (inexact->exact (* 2 (ly:pitch-alteration p)))))
   (string-append
    (list-ref '("C" "D" "E" "F" "G" "A" "B") (ly:pitch-notename p))
    (if (< alter 0) (make-string (- alter) #\b) (make-string alter #\#)))))

#(define (pitches-of music) (map (lambda (m) (ly:music-property m 'pitch)) (extract-named-music music 'NoteEvent)))

#(define (zoo music . spellings)
  (for-each
   (lambda (spelling)
    (format #t "{\"spelling\":\"~a\",\"notes\":\"~a\"}\n"
     spelling (string-join (map note->string (sort (pitches-of music) ly:pitch<?)) " ")))
   spellings))

#(zoo #{ \chordmode { c1 } #} "C" "(C)" "<C>" "CM" "Cmaj" "CMAJ")
#(zoo #{ \chordmode { c1:m } #} "Cm" "C-" "Cmin" "CMIN" "Cmi")
#(zoo #{ \chordmode { c1:dim } #} "C°" "Cdim" "Co")
#(zoo #{ \chordmode { c1:aug } #} "C+" "Caug")
#(zoo #{ \chordmode { c1:sus4 } #} "C4" "Csus" "Csus4")
#(zoo #{ \chordmode { c1:sus2 } #} "Csus2")
#(zoo #{ \chordmode { c1:1.5 } #} "C5")
#(zoo #{ \chordmode { c1:6 } #} "C6")
#(zoo #{ \chordmode { c1:m6 } #} "Cm6" "C-6" "Cmin6")
#(zoo #{ \chordmode { c1:6.9 } #} "C6/9" "C69" "C6(9)")
#(zoo #{ \chordmode { c1:7 } #} "C7" "C(7)")
#(zoo #{ \chordmode { c1:maj7 } #} "CΔ" "C^7" "Cmaj7" "CM7" "CMAJ7" "CΔ7" "Cma7")
#(zoo #{ \chordmode { c1:m7 } #} "Cm7" "C-7" "CMIN7" "Cmin7" "Cmi7")
#(zoo #{ \chordmode { c1:m7+ } #} "CmM7" "CmMaj7" "Cm(maj7)" "C-Δ7")
#(zoo #{ \chordmode { c1:m7.5- } #} "Cø" "Cø7" "Cm7b5" "C-7b5" "Cm7(b5)")
#(zoo #{ \chordmode { c1:dim7 } #} "C°7" "Cdim7" "Co7")
#(zoo #{ \chordmode { c1:aug7 } #} "C+7" "C7#5" "Caug7" "C7+")
#(zoo #{ \chordmode { c1:7.5- } #} "C7b5" "C7(b5)" "C7♭5")
#(zoo #{ \chordmode { c1:sus4.7 } #} "C7sus4" "C7sus")
#(zoo #{ \chordmode { c1:9 } #} "C9")
#(zoo #{ \chordmode { c1:maj9 } #} "Cmaj9" "CΔ9" "CM9")
#(zoo #{ \chordmode { c1:m9 } #} "Cm9" "C-9" "Cmin9")
#(zoo #{ \chordmode { c1:3.5.9 } #} "C2" "Cadd9" "C(add9)")
#(zoo #{ \chordmode { c1:7.9- } #} "C7b9" "C7(b9)" "C7♭9")
#(zoo #{ \chordmode { c1:7.9+ } #} "C7#9" "C7(#9)")
#(zoo #{ \chordmode { c1:7.11+ } #} "C7#11" "C7(#11)")
#(zoo #{ \chordmode { c1:7.13 } #} "C7/13" "C7(13)")
#(zoo #{ \chordmode { c1:m7.11 } #} "Cm7/11" "Cm7(11)")
#(zoo #{ \chordmode { c1:7.9+.13- } #} "C7#9b13" "C7(#9,b13)" "C7(#9b13)")
#(zoo #{ \chordmode { c1:11 } #} "C11")
#(zoo #{ \chordmode { c1:m11 } #} "Cm11")
#(zoo #{ \chordmode { c1:13 } #} "C13")
#(zoo #{ \chordmode { c1/e } #} "C/E" "CM/E")
#(zoo #{ \chordmode { c1/g } #} "C/G" "(C/G)")
#(zoo #{ \chordmode { c1/+d } #} "C/D")
#(zoo #{ \chordmode { c1:m7/+f } #} "Cm7/F")
