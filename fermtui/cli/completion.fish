# fermtui for fish: put this into ~/.config/fish/completions/fermtui.fish, or `fermtui completion fish | source`
function __fermtui_vessel
    set -l words (commandline -opc)
    test (count $$words) -ge 3; and echo $$words[3]
end
complete -c fermtui -f
complete -c fermtui -n __fish_use_subcommand -a "$opening"
$described
$options
complete -c fermtui -n "__fish_seen_subcommand_from $vessels; and test (count (commandline -opc)) -eq 2" -a "(fermtui completion vessels 2>/dev/null)"
complete -c fermtui -n "__fish_seen_subcommand_from $tasks; and test (count (commandline -opc)) -eq 3" -a "(fermtui completion tasks (__fermtui_vessel) 2>/dev/null)"
complete -c fermtui -n "__fish_seen_subcommand_from $of_kinds; and test (count (commandline -opc)) -eq 3" -a "$kinds"
