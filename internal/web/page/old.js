// For a browser that could not read the page's own script: written as of old.
if (!window.kneepoint) document.getElementById("now").textContent = "This browser is too old for this page.";
