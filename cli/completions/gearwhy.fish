# Completion of gearwhy in fish: the program itself is asked what the word may become.
function __gearwhy_candidates
    set -l words (commandline -opc) (commandline -ct)
    $words[1] complete -- $words[2..-1] 2>/dev/null
end
complete -c gearwhy -f -a '(__gearwhy_candidates)'
