# Completion of gearwhy in bash: the program itself is asked what the word may become.
_gearwhy() {
  local words=() word last='' joined='' cut line one i
  # Bash parts words at : and =, which belong to ids and options; here they are put together again.
  for ((i = 1; i <= COMP_CWORD; i++)); do
    word=${COMP_WORDS[i]//[\"\'\\]/}
    if [[ ($joined || $word == [:=]*) && ${#words[@]} -gt 0 ]]; then
      words[-1]+=$word
    else
      words+=("$word")
    fi
    joined=''
    if [[ $word == *[:=] ]]; then joined=yes; fi
    last=$word
  done
  # Bash replaces only what stands behind the last of them.
  if [[ $last == [:=]* ]]; then last=''; fi
  cut=${words[-1]%"$last"}
  COMPREPLY=()
  while IFS= read -r line; do
    one=${line%%$'\t'*}
    COMPREPLY+=("${one#"$cut"}")
    # What lies on the disk is quoted as files are, and a folder is gone on with.
    case ${line#*$'\t'} in
      file) compopt -o filenames 2>/dev/null ;;
      folder) compopt -o filenames -o nospace 2>/dev/null ;;
    esac
  done < <("${1/#\~/$HOME}" complete -- "${words[@]}" 2>/dev/null)
}
complete -F _gearwhy gearwhy
