// A browser that does not know modules gets here, and nowhere else.
document.getElementById("main").innerHTML = "<h1>This browser is too old for the app</h1><p>It needs one from 2023 or later. <a href=\"../\">The pages of the server</a> work in this one, while there is a network.</p>";
document.getElementById("starting").style.display = "none";
